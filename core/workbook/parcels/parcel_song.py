"""One song of what is handed over: copies in their places, its parts, family, curves, findings and mixes."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from core.album.ties import capture_name
from core.capture.files.progress import Asked, Told
from core.capture.kept.handover import BagContent
from core.errors import Refused, Unusable
from core.release.mixes import SAID, Mix, mixes_of
from core.release.parcel.finish import credit_rows, mix_rows, step_rows
from core.release.parcel.index_page import Heading, Line
from core.release.parcel.lists import Rows, capture_rows, curve_rows, finding_rows, note_rows, parts_rows
from core.release.people.credits import credits_of
from core.release.steps import steps_of
from core.songs.parts import place_words
from core.words import listed

if TYPE_CHECKING:
    from core.album.place import CaptureKey, SongClock
    from core.raw import RawCheck
    from core.release.album_song import AlbumSong
    from core.songs.parts import SongParts
    from core.songs.song import Song
    from core.workbook.laying import Laying

_BESIDE = {".txt": "how to lay the copies", ".mid": "markers for the copies"}
"""What lies beside copies and is named on the first page, by the end of its name."""


@dataclass(slots=True)
class Packed:
    """What is in the folder so far; sizes in bytes."""

    content: BagContent = field(default_factory=BagContent)
    moved: set[str] = field(default_factory=set)
    moved_bytes: int = 0
    bytes: int = 0
    reels: dict[str, set[int]] = field(default_factory=dict)
    """Captured reels, with the passes of which the checked files themselves go along."""
    left_out: list[str] = field(default_factory=list)


class ParcelSong:
    """One song being packed into a folder of its own."""

    def __init__(self, laying: Laying, packed: Packed, song: Song, folder: str, beside: Path) -> None:
        from core.standing.of_songs.song_facts import hearing_of

        self.laying, self.packed, self.song, self.folder, self.beside = laying, packed, song, folder, beside
        shelf = laying.book.shelf
        self.shelf, self.hearing = shelf, hearing_of(shelf, song)
        self.checks: Mapping[CaptureKey, RawCheck] = laying.time.checks(song)
        self.parts: SongParts = laying.songs.parts(song.key)
        self.clock: SongClock = laying.songs.song_clock(song, self.hearing)
        self.files: dict[tuple[str, int], str] = {}

    def pack(self, state: AlbumSong | None, told: Told | None, asked: Asked | None) -> Heading:
        """Everything of the song, and the lines by which the first page tells of it."""
        lines = [*self._facts(state)]
        if self.checks:
            lines += self._laid(told, asked)
        for reel, _ in self.checks:
            self.packed.reels.setdefault(reel, set())
        lines += self._as_captured()
        lines += self._told_parts()
        lines += self._captures()
        lines += self._mixes()
        lines += self._rest(with_credits=state is None)
        number = f"{self.song.order}. " if state is not None and self.song.order is not None else ""
        title = f"{self.song.title} ({self.song.key})" if self.song.title else self.song.key
        return Heading(f"{number}{title}", tuple(lines))

    def _facts(self, state: AlbumSong | None) -> Iterator[Line]:
        if state is not None:
            yield Line(f"how it stands: {state.state}" + (f"; next: {state.next}" if state.next else ""))
        if not self.checks:
            yield Line("nothing of it is captured yet")
        one = self.song
        told = {"by": one.artist, "writers": one.writers, "ISRC": one.isrc, "ISWC": one.iswc}
        told |= {"to do": one.todo, "notes": one.notes}
        for name, value in told.items():
            if value:
                yield Line(f"{name}: {value}")

    def _laid(self, told: Told | None, asked: Asked | None) -> Iterator[Line]:
        """The copies, each at its place; why a used part has none."""
        try:
            laid = self.laying.lay(self.song.key, self.beside, progress=told, cancelled=asked)
        except Refused as error:
            yield Line(f"no copies: {error}")
            return
        with open(self.beside / "parts.csv", newline="", encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        content = self.packed.content
        for name, row in zip(laid.files, rows, strict=True):
            place = content.put(f"{self.folder}/copies/{name}", self.beside / name, row["sha256"])
            self.packed.moved.add(place)
            self.packed.moved_bytes += (self.beside / name).stat().st_size
            for track in row["tracks"].split("+"):
                self.files[row["reel"], int(track)] = place
        for path in sorted(self.beside.iterdir()):
            if path.name not in laid.files and not path.name.startswith("."):
                place = content.put(f"{self.folder}/copies/{path.name}", path.read_bytes())
                if path.suffix in _BESIDE:
                    yield Line(_BESIDE[path.suffix], place)
        told_below = {f"{part.called}: {part.why}" for part in self.parts.parts if not part.use}
        yield from (Line(words) for words in (*laid.left_out, *laid.remarks) if words not in told_below)

    def _as_captured(self) -> Iterator[Line]:
        """Where a used track could not be laid, its checked files go along; all, where no part is known.

        So do those that alone hold a part which is not used, as an old mix does.
        """
        open_keys = {
            (one.reel, one.pass_number or 0)
            for part in self.parts.parts for one in part.sounding
            if (one.reel, one.track or 0) not in self.files
        }  # fmt: skip
        nowhere_else: dict[CaptureKey, list[str]] = {}
        for part in self.parts.parts if self.files else ():
            for one in part.others if not part.use else ():
                if (key := (one.reel, one.pass_number or 0)) in self.checks:
                    nowhere_else.setdefault(key, []).append(part.called)
        wanted = [key for key in self.checks if key in open_keys or key in nowhere_else]
        if not wanted and not self.files:
            wanted = list(self.checks)
        for reel, number in wanted:
            self.packed.reels[reel].add(number)
            only = listed(list(dict.fromkeys(nowhere_else.get((reel, number), ()))))
            why = f"; {only}: nowhere else" if only else ""
            yield Line(f"{capture_name((reel, number))} goes along as it was captured, under The tapes{why}")

    def _list(self, name: str, rows: Rows) -> str:
        from core.album.copies.listing import csv_bytes

        return self.packed.content.put(f"{self.folder}/{name}", csv_bytes(rows))

    def _told_parts(self) -> Iterator[Line]:
        """Every recording with its file, and the family page."""
        from core.paper.shelf.song_parts import song_pages

        yield Line("every part as a list", self._list("parts.csv", parts_rows(self.parts, self._near())))
        for part in self.parts.parts:
            for one in part.sounding:
                who = f", {one.player}" if one.player else ""
                stands = place_words(part.place) if part.state == "to hand" else part.state
                words = f"{part.called}: {one.label}{who}, {stands}"
                yield Line(words, self.files.get((one.reel, one.track or 0), ""))
            if not part.use:
                yield Line(f"{part.called}: {part.why}")
        kin = self.laying.songs.family(self.song.key)
        book = self.laying.book
        pdf = song_pages(self.shelf, [(self.parts, kin)], size=self.shelf.chosen.paper_size, made=book.now())
        place = self.packed.content.put(f"{self.folder}/parts and family.pdf", pdf)
        yield Line("parts and family on paper", place)
        for limb in kin:
            yield Line(f"family: {limb.tracks}: {limb.words}{' (used)' if limb.used else ''}")

    def _near(self) -> dict[tuple[str, int], str]:
        """The copies as they are named from the song's own folder."""
        return {key: place.removeprefix(f"{self.folder}/") for key, place in self.files.items()}

    def _captures(self) -> Iterator[Line]:
        """A curve for every capture, and what the checks found in the song's stretch."""
        from core.album.copies.names import plain_word

        if not self.checks:
            return
        places = {key: self.clock.place(*key) for key in self.checks}
        curves: dict[CaptureKey, str] = {}
        for (reel, number), place in places.items():
            if place.curve is not None:
                name = f"curves/{plain_word(reel, 'tape')} pass {number}.csv"
                curves[reel, number] = at = self._list(name, curve_rows(place))
                yield Line(f"curve of {capture_name((reel, number))}, {place_words(place)}", at)
            else:
                yield Line(f"{capture_name((reel, number))}: {place.says or 'its place is not known'}")
        near = {key: at.removeprefix(f"{self.folder}/") for key, at in curves.items()}
        yield Line("where every capture lies", self._list("captures.csv", capture_rows(places, near)))
        time = self.laying.time
        spans = {key: time.span(self.song, self.hearing, key, check) for key, check in self.checks.items()}
        rows = finding_rows(self.checks, spans, self.clock)
        yield Line(f"findings: {len(rows) - 1}", self._list("findings.csv", rows))

    def _mixes(self) -> Iterator[Line]:
        """The mixes that came home; one whose file is gone or is another since is told, and nothing more.

        Unusable where that is the one.
        """
        from core.album.copies.names import plain_word

        mixes, places = mixes_of(self.shelf, self.song.key), {}
        for mix in mixes:
            path = Path(mix.file)
            words = f"mix {mix.number}, {SAID[mix.stands]}{f', {mix.note}' if mix.note else ''}"
            if not path.is_file():
                self.packed.left_out.append(f"mix {mix.number} of {self.song.key}: {path.name} is not there")
                yield Line(f"{words}: its file was not there")
                continue
            if since := _is_another(mix, mixes, path):
                if mix.stands == "the-one":
                    which = f"mix {mix.number} of {self.song.key}, the one, {since}"
                    again = f"reelturn mix {self.song.key} FILE --as the-one"
                    raise Unusable(f"{path}: {which}: bring it home again, {again}; no bag was made")
                self.packed.left_out.append(f"mix {mix.number} of {self.song.key}: {path.name} {since}")
                yield Line(f"{words}: {since}")
                continue
            name = f"{mix.number} {plain_word(path.stem, 'mix')}{path.suffix}"
            place = self.packed.content.put(f"{self.folder}/mixes/{name}", path, mix.sha256)
            self.packed.bytes += mix.bytes
            places[mix.number] = place.removeprefix(f"{self.folder}/")
            yield Line(words, place)
        if mixes:
            yield Line("mixes as they were measured", self._list("mixes.csv", mix_rows(mixes, places)))

    def _rest(self, *, with_credits: bool) -> Iterator[Line]:
        """Notes, steps, and who plays on it."""
        reels = {reel for reel, _ in self.checks} | {need.reel for need in self.song.needs}
        notes = note_rows(self.shelf, reels, self.clock)
        yield Line(f"notes: {len(notes) - 1}", self._list("notes.csv", notes))
        if steps := steps_of(self.shelf, self.song.key):
            yield Line("what is left to do", self._list("steps.csv", step_rows(steps)))
            for step in steps:
                after = f", after {step.after}" if step.after else ""
                who = f", {step.who}" if step.who else ""
                by = f", by {step.by}" if step.by else ""
                yield Line(f"step {step.number}: {step.text}{who}{by}{after}{', done' if step.done else ''}")
        credits = credits_of(self.shelf, [self.parts])
        if with_credits:
            yield Line("credits as a list", self._list("credits.csv", credit_rows(credits)))
            yield from (Line(f"{one.name} ({one.says}): {one.plays_words}") for one in credits)


def _is_another(mix: Mix, mixes: Sequence[Mix], path: Path) -> str:
    """Why a file is not the mix that came home; it is read where its size leaves that open."""
    from core.capture.kept.fixity import sha256_of

    if any(one.number > mix.number and one.file == mix.file and one.sha256 != mix.sha256 for one in mixes):
        return "was written over by a later mix"
    same = path.stat().st_size == mix.bytes and sha256_of(path) == mix.sha256
    return "" if same else "is not what came home"
