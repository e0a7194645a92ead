"""The joint for the album: mixes that came home, steps after capture, credits, and the album's page."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from core.clock import write_time
from core.errors import Refused
from core.release.credits import Asked, asked_of, with_asked
from core.release.mixes import Mix, MixAs, mix_remarks, mixes_of, standing_as, with_mix
from core.release.steps import SongStep, step_done, steps_of, with_step
from core.workbook.songs import song_named

if TYPE_CHECKING:
    from core.capture.files.progress import Asked as Stop
    from core.capture.files.progress import Told
    from core.release.album import Album
    from core.songs.song import Song
    from core.store.book import Book
    from core.workbook.plans import Plans
    from core.workbook.songs import Songs


class Release:
    """What becomes of a shelf's captured songs."""

    def __init__(self, book: Book, plans: Plans, songs: Songs) -> None:
        self.book = book
        self.plans = plans
        self.songs = songs

    def _song(self, name: str) -> Song:
        return song_named(self.book.shelf, name)

    def mix_home(
        self,
        song: str,
        file: Path,
        stands: MixAs = "rough",
        *,
        note: str = "",
        by: str = "",
        progress: Told | None = None,
        cancelled: Stop | None = None,
    ) -> tuple[Mix, list[str]]:
        """Measures a mix and keeps it with the song; the mix, and what is odd about it.

        Unusable for a file that holds no sound; Refused for one that came home already.
        """
        from core.capture.files.progress import never
        from core.capture.mix import measure_mix

        one = self._song(song)
        found = measure_mix(file, progress, cancelled or never)
        mix = Mix(
            one.key, 0, os.path.abspath(file), found.sha256, found.bytes, found.channels, found.sample_rate,
            found.encoding, found.first_sound, found.last_sound, found.peak_dbfs, found.true_peak_dbtp,
            found.loudness_lufs, stands, by, write_time(self.book.now()), note,
        )  # fmt: skip
        what = f"mix of {one.key}: {file.name}"
        shelf = self.book.change(lambda shelf: with_mix(shelf, mix), what=what, note=note)
        kept = mixes_of(shelf, one.key)[-1]
        return kept, self._remarks(one, kept)

    def _remarks(self, song: Song, mix: Mix) -> list[str]:
        from core.release.lengths import captured_span

        shelf = self.book.shelf
        capture = shelf.studio.capture
        span = captured_span(song, lambda key: key in shelf.reels and shelf.reels[key].past("transferred"))
        rate = round(capture.sample_rate.number) if capture is not None else None
        return mix_remarks(mix, rate, song.target_length, span)

    def mixes(self, song: str) -> tuple[Mix, ...]:
        """The mixes of a song in the order in which they came."""
        return mixes_of(self.book.shelf, self._song(song).key)

    def mix_stands(self, song: str, number: int, stands: MixAs) -> None:
        """A mix that is there stands so from now on."""
        key = self._song(song).key
        what = f"mix {number} of {key}: {stands}"
        self.book.change(lambda shelf: standing_as(shelf, key, number, stands), what=what)

    def steps(self, song: str) -> tuple[SongStep, ...]:
        """A song's steps by their numbers."""
        return steps_of(self.book.shelf, self._song(song).key)

    def step(self, song: str, text: str, *, who: str = "", by: date | None = None, after: str = "") -> None:
        """One step more for a song. Refused for a date that is past."""
        if by is not None and by < self.book.now().date():
            raise Refused(f"{by.isoformat()} is past: give a date from today on")
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
        shelf = self.book.change(lambda s: with_asked(s, put(asked_of(s, player))), what=what)
        return asked_of(shelf, player)

    def album(self, name: str, without: Sequence[str] = ()) -> Album:
        """The album's page now; Refused for an album or a song that is not there."""
        from core.release.album import album

        keys = [self._song(one).key for one in without]
        today = self.book.now().date()
        return album(self.book.shelf, name, self.plans.song_dates(), self.songs.parts, today, keys)
