"""The joint for the album: mixes that came home, steps after capture, credits, and the album's page."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from core.clock import YEARS_AHEAD, write_time
from core.errors import Refused
from core.release.arrange import albums_of, moved, with_carrier, with_gap, with_order
from core.release.mix_words import mix_remarks
from core.release.mixes import Mix, MixAs, mixes_of, standing_as, the_one, told_of, with_mix
from core.release.people.asking import Asked, asked_of, with_asked
from core.release.steps import SongStep, step_done, steps_of, with_step
from core.workbook.songs import song_named

if TYPE_CHECKING:
    from core.capture.files.progress import Asked as Stop
    from core.capture.files.progress import Told
    from core.release.album import Album
    from core.songs.parts import SongParts
    from core.songs.song import Song
    from core.songs.when import SongDate
    from core.store.book import Book
    from core.workbook.plans import Plans
    from core.workbook.songs import Songs


OWN_KINDS = ("mix", "step", "credit", "album", "pin", "setting")
"""Records on which no choice of a track rests."""


class Release:
    """What becomes of a shelf's captured songs."""

    def __init__(self, book: Book, plans: Plans, songs: Songs) -> None:
        self.book = book
        self.plans = plans
        self.songs = songs
        self._parts: dict[str, tuple[tuple[object, ...], SongParts]] = {}

    def _song(self, name: str) -> Song:
        return song_named(self.book.shelf, name)

    def measured_mix(
        self,
        song: str,
        file: Path,
        stands: MixAs = "rough",
        *,
        note: str = "",
        by: str = "",
        progress: Told | None = None,
        cancelled: Stop | None = None,
    ) -> Mix:
        """A mix as it was measured, nothing is kept yet; Unusable for a file that holds no sound."""
        from core.capture.files.pass_files import shown
        from core.capture.files.progress import never
        from core.capture.mix import measure_mix

        one = self._song(song)
        found = measure_mix(file, progress, cancelled or never)
        path = shown(Path(os.path.abspath(file)))
        return Mix(
            one.key, 0, path, found.sha256, found.bytes, found.channels, found.sample_rate,
            found.encoding, found.first_sound, found.last_sound, found.peak_dbfs, found.true_peak_dbtp,
            found.loudness_lufs, stands, by, write_time(self.book.now()), note, found.sides,
        )  # fmt: skip

    def keep_mix(self, mix: Mix) -> tuple[Mix, list[str]]:
        """Keeps a measured mix; it and what is odd about it. Refused for one that came home already."""
        what = f"mix of {mix.song}: {Path(mix.file).name}"
        shelf = self.book.change(lambda shelf: with_mix(shelf, mix), what=what, note=mix.note)
        kept = mixes_of(shelf, mix.song)[-1]
        return kept, self.remarks(kept)

    def mix_folder(self) -> Path:
        """Where the mix that came home last lay, else `mixes` beside the shelf."""
        last = max(self.book.shelf.of_kind("mix").values(), key=lambda one: str(one["at"]), default=None)
        return Path(last["file"]).parent if last else self.book.path.absolute().parent / "mixes"

    def is_home(self, file: Path) -> bool:
        """Whether that file came home already, as the mix of any song."""
        return os.path.abspath(file) in {one["file"] for one in self.book.shelf.of_kind("mix").values()}

    def new_mixes(self) -> list[Path]:
        """Sound files in that folder that have not come home yet, the newest first."""
        from core.capture.files.found import sounds_in

        found = [path for path in sounds_in(self.mix_folder()) if not self.is_home(path)]
        return sorted(found, key=lambda path: path.stat().st_mtime, reverse=True)

    def remarks(self, mix: Mix) -> list[str]:
        """What is odd about a mix, a sentence each."""
        from core.release.lengths import captured_span

        shelf, song = self.book.shelf, self._song(mix.song)
        capture = shelf.studio.capture
        span = captured_span(song, lambda key: key in shelf.reels and shelf.reels[key].past("transferred"))
        rate = round(capture.sample_rate.number) if capture is not None else None
        over = [f"it was written over mix {one.number}, whose sound is no more"
                for one in mixes_of(shelf, song.key)
                if one.number < mix.number and one.file == mix.file and one.sha256 != mix.sha256]  # fmt: skip
        return [*mix_remarks(mix, rate, song.target_length, span), *over]

    def mixes(self, song: str) -> tuple[Mix, ...]:
        """The mixes of a song in the order in which they came."""
        return mixes_of(self.book.shelf, self._song(song).key)

    def mix_stands(self, song: str, number: int, stands: MixAs) -> None:
        """A mix that is there stands so from now on."""
        key = self._song(song).key
        what = f"mix {number} of {key}: {stands}"
        self.book.change(lambda shelf: standing_as(shelf, key, number, stands), what=what)

    def mix_told(self, song: str, number: int, by: str | None = None, note: str | None = None) -> None:
        """Who mixed it, and a note, from now on; what is None stays."""
        key = self._song(song).key
        what = f"mix {number} of {key}: by {by}" if by is not None else f"mix {number} of {key}: note"
        self.book.change(lambda shelf: told_of(shelf, key, number, by, note), what=what)

    def steps(self, song: str) -> tuple[SongStep, ...]:
        """A song's steps by their numbers."""
        return steps_of(self.book.shelf, self._song(song).key)

    def step(self, song: str, text: str, *, who: str = "", by: date | None = None, after: str = "") -> None:
        """One step more for a song. Refused for a date that is past, or years ahead."""
        today = self.book.now().date()
        if by is not None and by < today:
            raise Refused(f"{by.isoformat()} is past: give a date from today on")
        if by is not None and by.year > today.year + YEARS_AHEAD:
            raise Refused(f"{by.isoformat()} is more than {YEARS_AHEAD} years ahead: look at its year")
        key, after = self._song(song).key, after.removeprefix("step ")
        what = f"step of {key}: {text}"
        self.book.change(lambda shelf: with_step(shelf, key, text, who, by, after), what=what)

    def step_done(self, song: str, number: int) -> None:
        """A step is done now."""
        key, at = self._song(song).key, write_time(self.book.now())
        self.book.change(lambda shelf: step_done(shelf, key, number, at), what=f"step {number} of {key} done")

    def ask(
        self,
        player: str,
        *,
        asked: date | None = None,
        answered: date | None = None,
        agreed: bool | None = None,
        named: str | None = None,
    ) -> Asked:
        """What is known of a player from now on; what is not given stays as it is."""

        def put(before: Asked) -> Asked:
            return replace(
                before,
                asked=asked.isoformat() if asked else before.asked,
                answered=answered.isoformat() if answered else before.answered,
                agreed=before.agreed if agreed is None else agreed,
                named=before.named if named is None else named,
            )

        if not (asked or answered or named is not None):
            return asked_of(self.book.shelf, player)
        what = f"credit {player}"
        today = self.book.now().date()
        shelf = self.book.change(lambda s: with_asked(s, put(asked_of(s, player)), today), what=what)
        return asked_of(shelf, player)

    def move(self, name: str, song: str, step: int) -> None:
        """A song one place earlier (-1) or later (1) on its album."""
        key = self._song(song).key
        where = "earlier" if step < 0 else "later"
        self.book.change(lambda shelf: moved(shelf, name, key, step), what=f"{key} {where} on {name}")

    def order(self, name: str, keys: Sequence[str]) -> None:
        """The album's songs in that order from now on."""
        self.book.change(lambda shelf: with_order(shelf, name, keys), what=f"order of {name}")

    def carrier(self, name: str, key: str) -> None:
        """The carrier that the album is made for."""
        self.book.change(lambda shelf: with_carrier(shelf, name, key), what=f"carrier of {name}: {key}")

    def gap(self, name: str, seconds: Fraction) -> None:
        """Seconds between two songs of a side."""
        what = f"gap of {name}: {float(seconds):g} s"
        self.book.change(lambda shelf: with_gap(shelf, name, seconds), what=what)

    def albums(self) -> tuple[str, ...]:
        """The albums that songs name."""
        return albums_of(self.book.shelf)

    def album(
        self,
        name: str,
        without: Sequence[str] = (),
        *,
        dates: Mapping[str, SongDate] | None = None,
        soon: bool = False,
    ) -> Album:
        """The album's page now; Refused for an album or a song that is not there.

        ``soon`` leaves out the credits of songs whose parts were not worked out yet; ``dates`` are those that
        were told a moment ago.
        """
        from core.release.album import album, with_lost

        keys = [self._song(one).key for one in without]
        today, told = self.book.now().date(), self.plans.song_dates() if dates is None else dates
        parts = self._known if soon else self._parts_of
        page = album(self.book.shelf, name, told, parts, today, keys, self._wished())
        return with_lost(page, self.lost_mixes([one.song.key for one in page.songs]))

    def lost_mixes(self, songs: Iterable[str]) -> dict[str, str]:
        """By song, what is to be said of the one whose file is gone, or is no more what came home.

        Files are asked for their size alone; what a file holds is seen when it is handed over.
        """
        ones = ((song, the_one(mixes_of(self.book.shelf, song))) for song in songs)
        told = ((song, one, _lies(one)) for song, one in ones if one is not None)
        return {
            song: f"mix {one.number} is the one, and {Path(one.file).name} {_SAID[how]}"
            for song, one, how in told if how
        }  # fmt: skip

    def _wished(self) -> dict[str, date]:
        """The dates that are wished for songs."""
        from core.planning.wishes.wishes import wished_on

        wishes = wished_on(self.book.shelf).values()
        return {wish.about: wish.day for wish in wishes if wish.kind == "by" and wish.day is not None}

    def _parts_of(self, song: str) -> SongParts:
        """Its parts, worked out anew only where what they rest on has changed."""
        found = self._known(song)
        if found is None:
            found = self.songs.parts(song)
            self._parts[song] = self._rests_on(song), found
        return found

    def _known(self, song: str) -> SongParts | None:
        rests_on, kept = self._rests_on(song), self._parts.get(song)
        if kept is None or len(kept[0]) != len(rests_on):
            return None
        return kept[1] if all(a is b for a, b in zip(kept[0], rests_on, strict=True)) else None

    def _rests_on(self, song: str) -> tuple[object, ...]:
        """All that a song's parts are told from: the shelf without what this room itself keeps."""
        shelf = self.book.shelf
        kinds = (one for kind, one in shelf.records.items() if kind not in OWN_KINDS)
        return shelf.songs.get(song), shelf.sheets, shelf.reels, shelf.studio, *kinds


_SAID = {
    "gone": "is not where it lay: put it back",
    "changed": "has changed since it came home: bring it home again",
}


def _lies(mix: Mix) -> Literal["", "gone", "changed"]:
    """How a mix's file lies there now, by its size."""
    from core.capture.kept.fixity import on_disk

    try:
        size = on_disk(mix.file).stat().st_size
    except OSError:
        return "gone"
    return "" if size == mix.bytes else "changed"
