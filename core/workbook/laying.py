"""The joint for copies in their places: what a song uses, where it lies, and writing it into a folder."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from core.album.place import CaptureKey
from core.album.ties import capture_name
from core.capture.files.progress import Asked, Cancelled, Progress, Told, never
from core.clock import clock_text
from core.errors import Refused, Unusable
from core.logbook.passes import noted
from core.values import dataclass
from core.workbook.captures import program
from core.workbook.songs import Songs, song_named

if TYPE_CHECKING:
    from core.album.copies.folder import CopyFolder
    from core.album.copies.listing import Marker
    from core.album.copies.plan import Copy, Used, Way
    from core.capture.pieces.pass_sound import PassSound
    from core.songs.parts import Part, SongParts, Source
    from core.songs.song import Song
    from core.store.book import Book
    from core.workbook.in_time.song_time import SongTime


@dataclass(frozen=True, slots=True)
class LaidOut:
    """What was laid into the folder."""

    folder: Path
    way: str
    files: tuple[str, ...]
    kept: int
    """How many of them were there from before, whole."""
    left_out: tuple[str, ...]
    """Used parts that could not be laid, and why."""
    remarks: tuple[str, ...]

    def to_json(self) -> dict[str, object]:
        """As `lay --json` prints it."""
        return {
            "folder": str(self.folder), "way": self.way, "files": list(self.files), "kept": self.kept,
            "left_out": list(self.left_out), "remarks": list(self.remarks),
        }  # fmt: skip


class Laying:
    """Copies of a song's used tracks in their places."""

    def __init__(self, book: Book, songs: Songs, time: SongTime) -> None:
        self.book, self.songs, self.time = book, songs, time

    def lay(
        self, song: str, folder: Path, way: Way = "zero", *, pairs: bool = False,
        progress: Told | None = None, cancelled: Asked | None = None,
    ) -> LaidOut:  # fmt: skip
        """Writes the copies, goes on where it was stopped, and lays lists, markers and sums beside them.

        Refused where nothing of the song can be laid; Unusable for files, folder or disk. Originals are
        opened for reading only, and must be what was checked.
        """
        one = song_named(self.book.shelf, song)
        parts = self.songs.parts(one.key)
        used, left_out = self._used(one, parts, pairs=pairs)
        if not used:
            raise Refused(f"{one.key}: nothing can be laid: {'; '.join(left_out) or 'no part is to hand'}")
        sounds = self._sounds(one, used)
        job = _Job(self, one, used, sounds, folder, way, progress, cancelled or never)
        return job.run(tuple(left_out))

    def _used(self, song: Song, parts: SongParts, *, pairs: bool) -> tuple[list[Used], list[str]]:
        """The used tracks that have a place, and why the others have none."""
        from core.album.copies.plan import Used
        from core.standing.of_songs.song_facts import hearing_of

        shelf = self.book.shelf
        hearing, checks = hearing_of(shelf, song), self.time.checks(song)
        clock = self.songs.song_clock(song, hearing)
        used, left_out = [], []
        for part in parts.parts:
            if not part.use:
                left_out.append(f"{part.called}: {part.why}")
            for sources in _files_of(part, pairs=pairs):
                first = sources[0]
                key = first.reel, first.pass_number or 0
                place = clock.place(*key)
                if key not in checks:
                    left_out.append(f"{part.called}: {first.label} is not captured")
                elif place.curve is None:
                    left_out.append(f"{part.called}: nothing ties {capture_name(key)} to the song's clock")
                else:
                    name = part.name if len(part.use) == 1 else first.part or part.name
                    tracks = tuple(source.track or 0 for source in sources)
                    span = self.time.span(song, hearing, key, checks[key])
                    side_of = part.name if len(sources) == 1 and len(part.use) == 2 else ""
                    used.append(
                        Used(
                            name, part.take, first.player, key, tracks, place, span, first.generation, side_of
                        )
                    )
        return _each_once(used), left_out

    def _sounds(self, song: Song, used: Sequence[Used]) -> dict[CaptureKey, PassSound]:
        """The captures opened; Unusable where a file is missing or is not what was checked."""
        from core.capture.kept.fixity import on_disk
        from core.capture.pieces.pass_sound import NotThere, PassSound

        checks, out = self.time.checks(song), {}
        for key in dict.fromkeys(one.key for one in used):
            check = checks[key]
            try:
                paths = [on_disk(str(file["path"])) for file in check["files"]]
                out[key] = PassSound(paths, [int(track) for track in check.get("tracks", ())])
            except NotThere as error:
                raise Unusable(f"{error}: put it back, or check the reel anew") from error
        return out

    def markers(self, song: Song) -> list[Marker]:
        """The song's begin and end, and the timed notes of its captures, on its clock."""
        from core.album.copies.listing import Marker
        from core.standing.of_songs.song_facts import hearing_of
        from core.workbook.in_time.old_mix_kept import kept_old_mixes

        hearing, checks = hearing_of(self.book.shelf, song), self.time.checks(song)
        clock = self.songs.song_clock(song, hearing)
        title = song.title or song.key
        out = [Marker(0.0, f"{title} begins", "song", clock.zero_reel)]
        going_on = {(one.reel, one.pass_number or 0)
                    for part in self.songs.parts(song.key).parts for one in part.goes_on}  # fmt: skip
        ends = [
            end for key, (_, end) in clock.stretches.items() if key in going_on or key[0] == clock.zero_reel
        ]
        if ends:
            out.append(Marker(max(ends), f"{title} ends", "song", clock.zero_reel))
        for note in noted(self.book.shelf).values():
            key = note.reel, note.number
            place = clock.place(*key)
            if place.curve is None or key not in checks:
                continue
            low, high = self.time.span(song, hearing, key, checks[key])
            if low <= note.seconds <= high:
                out.append(Marker(place.curve.song(note.seconds), note.told, "note", key[0]))
        for mix, _ in kept_old_mixes(self.book.shelf, song.key, checks):
            curve = clock.place(*mix.key).curve
            words = f"{capture_name(mix.key)}: something may sound here that no captured track has"
            if curve is not None:
                out += [Marker(curve.song(at), words, "listen", mix.key[0]) for at, _, _ in mix.stretches]
        return sorted(out, key=lambda marker: marker.seconds)


def _zero_words(parts: SongParts) -> str:
    return f"{parts.zero.reel} at {clock_text(parts.zero.seconds)} of its play time" if parts.zero else ""


def _going_on(parts: SongParts) -> list[str]:
    """Of every part that goes on on another tape, where, and what is on neither."""
    return [f"{part.called}: {part.goes_on_says}" for part in parts.parts if part.goes_on]


def _each_once(used: Sequence[Used]) -> list[Used]:
    """A bounce that stands for several parts is one file with all their names: laid twice it sounds twice."""
    out: dict[tuple[CaptureKey, tuple[int, ...]], Used] = {}
    for one in used:
        track = one.key, one.tracks
        there = out.get(track)
        out[track] = one if there is None else replace(there, part=f"{there.part} + {one.part}")
    return list(out.values())


def _rings(parts: SongParts) -> list[str]:
    """The rings of ties that do not close, and by how much."""
    return [
        f"round {', '.join(ring.reels)} the ties miss one another by {ring.misfit_ms:.0f} ms: {ring.says}"
        for ring in parts.loops if ring.says
    ]  # fmt: skip


def _files_of(part: Part, *, pairs: bool) -> list[list[Source]]:
    """The used tracks of a part, and those on which it goes on, one file each; a pair of one capture
    in one file where that is wanted."""
    out: list[list[Source]] = []
    for sources in (part.use, part.goes_on):
        captures: dict[tuple[str, int | None], list[Source]] = {}
        for one in sources:
            captures.setdefault((one.reel, one.pass_number), []).append(one)
        for mine in captures.values():
            out += [mine] if pairs and len(mine) == 2 else [[one] for one in mine]
    return out


class _Job:
    """One folder being laid."""

    def __init__(
        self, laying: Laying, song: Song, used: Sequence[Used], sounds: dict[CaptureKey, PassSound],
        folder: Path, way: Way, told: Told | None, asked: Asked,
    ) -> None:  # fmt: skip
        from core.album.copies.laid import copies_of
        from core.standing.of_songs.song_facts import hearing_of

        self.laying, self.song, self.sounds, self.way = laying, song, sounds, way
        self.path, self._told, self._asked = folder, told, asked
        clock = laying.songs.song_clock(song, hearing_of(laying.book.shelf, song))
        self.reference = clock.places[clock.own].curve if clock.own is not None else None
        rates = {key: sound.sample_rate for key, sound in sounds.items()}
        lengths = {key: sound.frames / sound.sample_rate for key, sound in sounds.items()}
        title = song.title or song.key
        self.copies = copies_of(title, used, way, self.reference, rates, lengths)
        self._began, self._done, self._total = time.monotonic(), 0, 1

    def run(self, left_out: tuple[str, ...]) -> LaidOut:
        """Looks at the originals, writes what is not there yet, then what goes with it."""
        from core.album.copies.folder import CopyFolder, recipe_of
        from core.album.copies.write import read_alike, recipe, size_of, write_group

        folder = CopyFolder(self.path)
        self._refuse_a_folder_of_others(folder)
        sums = {key: self._sums(key) for key in self.sounds}
        recipes = {copy.name: recipe_of(recipe(copy, self.sounds[copy.used.key], sums[copy.used.key]))
                   for copy in self.copies}  # fmt: skip
        digests = {copy.name: digest for copy in self.copies
                   if (digest := folder.whole(f"{copy.name}.wav", recipes[copy.name]))}  # fmt: skip
        kept = len(digests)
        open_copies = [copy for copy in self.copies if copy.name not in digests]
        size = sum(size_of(self.sounds[copy.used.key], copy) for copy in open_copies)
        folder.room_for(size)
        self._total = max(1, size)
        if open_copies:
            folder.begin(self.song.key)
        title = self.song.title or self.song.key

        def keep(copy: Copy, digest: str) -> None:
            folder.keep(f"{copy.name}.wav", recipes[copy.name], digest)
            digests[copy.name] = digest

        for group in read_alike(open_copies):
            sound = self.sounds[group[0].used.key]
            at, by = self.laying.book.now(), f"reelturn {program()}".strip()
            write_group(folder, sound, group, title, at, by, self._went, keep)
        stay = folder.leave_only(self._names())
        self._goes_with(folder, digests, left_out)
        files = tuple(self._names())
        return LaidOut(self.path, self.way, files, kept, left_out, self._remarks(stay))

    def _refuse_a_folder_of_others(self, folder: CopyFolder) -> None:
        """Refused where copies of another song, a file of somebody's, or work on a copy lie there."""
        from core.album.copies.folder import LISTS, SHEET

        other = folder.of_another_song(self.song.key)
        if other:
            raise Unusable(f"{folder.folder}: copies of {other} lie there: name another folder")
        for name in (*self._names(), SHEET, *LISTS):
            if not folder.mine(name):
                raise Unusable(
                    f"{folder.folder / name}: is there already and was not laid here: name another folder"
                )
        worked_on = next((name for name in self._names() if folder.worked_on(name)), None)
        if worked_on:
            raise Unusable(f"{folder.folder / worked_on}: was changed since it was laid: name another folder")

    def _remarks(self, stay: Sequence[str]) -> tuple[str, ...]:
        """What runs apart as it is read, and what somebody worked on that is no part of it any more."""
        apart = tuple(
            f"{copy.name}.wav runs up to {copy.runs_apart_ms:.1f} ms apart as captured: "
            "--way clock keeps it in place"
            for copy in self.copies if copy.runs_apart_ms > 1
        )  # fmt: skip
        return apart + tuple(
            f"{name} is no part of it any more, and was changed since: put it away" for name in stay
        )

    def _names(self) -> list[str]:
        return [f"{copy.name}.wav" for copy in self.copies]

    def _went(self, size: int) -> None:
        if self._asked():
            raise Cancelled
        self._done += size
        if self._told is not None:
            self._told(Progress(min(self._done, self._total), self._total, time.monotonic() - self._began))

    def _sums(self, key: CaptureKey) -> list[str]:
        """The digests of the originals; Unusable where one is not what was checked."""
        from core.album.copies.folder import digest_of
        from core.capture.kept.fixity import on_disk

        used = [track for copy in self.copies if copy.used.key == key for track in copy.used.tracks]
        wanted = set(self.sounds[key].files_of(used))
        out = []
        for file in self.laying.time.checks(self.song)[key]["files"]:
            path = on_disk(str(file["path"]))
            if path not in wanted:
                continue
            if self._asked():
                raise Cancelled
            digest = digest_of(path)
            if digest != file.get("sha256"):
                raise Unusable(f"{path}: is not what was checked, nothing was laid: check {key[0]} anew")
            out.append(digest)
        return out

    def _goes_with(self, folder: CopyFolder, digests: dict[str, str], left_out: Sequence[str]) -> None:
        """Lists, markers, a sheet, and the sums of all of them, last."""
        from core.album.copies.folder import SHEET, SUMS
        from core.album.copies.listing import markers_csv, markers_midi, parts_csv
        from core.album.copies.sheet import SheetWords, sheet_text
        from core.capture.kept.fixity import manifest

        title = self.song.title or self.song.key
        markers, zero = self._markers()
        parts = self.laying.songs.parts(self.song.key)
        to_know = (*_going_on(parts), *_rings(parts), *parts.open)
        words = SheetWords(_zero_words(parts), tuple(left_out), to_know)
        small = {
            "parts.csv": parts_csv(title, [(copy, digests[copy.name]) for copy in self.copies]),
            "markers.csv": markers_csv(markers, zero),
            "markers.mid": markers_midi(title, markers, zero),
            SHEET: sheet_text(title, self.way, self.copies, words),
        }
        for name, content in small.items():
            folder.put(name, content)
        import hashlib

        entries = [(digests[copy.name], f"{copy.name}.wav") for copy in self.copies]
        entries += [(hashlib.sha256(content).hexdigest(), name) for name, content in small.items()]
        folder.put(SUMS, manifest(entries).encode("utf-8"))

    def _markers(self) -> tuple[list[Marker], float]:
        """Markers on the files' common clock, and where on it they count from."""
        markers = self.laying.markers(self.song)
        if self.way != "clock" and self.reference is not None:
            zero = self.reference.capture(0.0)
            markers = [replace(one, seconds=self.reference.capture(one.seconds) - zero) for one in markers]
        if self.way == "stamped":
            return markers, 0.0
        return markers, min(copy.from_seconds for copy in self.copies)
