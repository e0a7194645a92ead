"""The joint for the whole shelf: which captures share sound at all, whatever their sheets say."""

from __future__ import annotations

import time
from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING

from core.album.place import CaptureKey
from core.album.ties import Tie, capture_name
from core.capture.files.progress import Asked, Cancelled, Progress, Told, never
from core.errors import Refused
from core.standing.kept_checks import checks_of
from core.values import dataclass
from core.workbook.in_time.tie_tracks import claimed_pairs

if TYPE_CHECKING:
    from core.album.levels import Levels
    from core.store.book import Book
    from core.workbook.in_time.song_time import SongTime


@dataclass(frozen=True, slots=True)
class Shared:
    """What came of looking through the shelf."""

    found: tuple[Tie, ...]
    """Captures that share sound, proved and kept."""
    untold: tuple[bool, ...]
    """Of each of them, whether no sheet tells of it."""
    captures: int
    pairs: int
    """Pairs that were held against one another; those that are tied already are not."""
    left_out: tuple[str, ...]
    """Captures whose check kept no levels, and pairs whose files cannot be read."""


class Sharing:
    """All captures of a shelf held against one another."""

    def __init__(self, book: Book, songs: SongTime) -> None:
        self.book, self.time = book, songs

    def look(self, *, progress: Told | None = None, cancelled: Asked | None = None) -> Shared:
        """Ties every two captures of different tapes that share sound; what is found is kept at once.

        Levels that the checks kept tell which are likely, at every speed within 6 %; only these are read.
        """
        with self.book.as_one("look for captures that share sound"):
            return self._look(progress, cancelled)

    def _look(self, progress: Told | None, cancelled: Asked | None) -> Shared:
        levels, left_out = self._levels()
        found: list[Tie] = []
        likely, pairs = self._likely(levels, progress, cancelled or never)
        for one, two in likely:
            if (cancelled or never)():
                raise Cancelled
            try:
                passes = (one[1], two[1])
                tie = self.time.found(one[0], two[0], passes=passes, whole=True, cancelled=cancelled)
            except Refused:
                continue
            self.time.keep(tie)
            found.append(tie)
        sheets = self.book.shelf.sheets
        untold = tuple(not claimed_pairs(sheets, tie.one[0], tie.two[0]) for tie in found)
        return Shared(tuple(found), untold, len(levels), pairs, tuple(left_out))

    def _levels(self) -> tuple[dict[CaptureKey, Levels], list[str]]:
        """Levels of every capture, all its tracks but code added as powers."""
        out: dict[CaptureKey, Levels] = {}
        left_out = []
        for key in self._captures():
            course = self.time.captures.course(*key)
            code = self.time.capture(key, None).without
            if course is None or course.levels is None:
                left_out.append(f"{capture_name(key)}: its check kept no levels: check it anew")
                continue
            rows = [row for row, track in enumerate(course.tracks) if track not in code]
            if rows:
                out[key] = course.levels.of(rows).together()
        return out, left_out

    def _captures(self) -> Iterator[CaptureKey]:
        shelf = self.book.shelf
        for reel in shelf.reels.values():
            if reel.role != "calibration":
                yield from ((reel.key, number) for number in checks_of(shelf, reel.key))

    def _likely(
        self, levels: dict[CaptureKey, Levels], told: Told | None, asked: Asked
    ) -> tuple[list[tuple[CaptureKey, CaptureKey]], int]:
        """Pairs of which several needles lie on one line, the likeliest first; and how many were tried."""
        from core.album.sound.sieve import Sieve

        tied = {frozenset((tie.one, tie.two)) for tie in self.time.kept_ties() if tie.by == "sound"}
        by_length = sorted(levels, key=lambda key: levels[key].halves.shape[1] / levels[key].hertz)
        pairs = [
            pair for pair in combinations(by_length, 2)
            if pair[0][0] != pair[1][0] and frozenset(pair) not in tied
        ]  # fmt: skip
        sieves = {key: Sieve(one) for key, one in levels.items()}
        began, last = time.monotonic(), None
        out: list[tuple[float, tuple[CaptureKey, CaptureKey]]] = []
        for number, (one, two) in enumerate(pairs):
            if asked():
                raise Cancelled
            if last is not None and one != last:
                sieves[last].done()
            last = one
            score = sieves[one].score(sieves[two])
            if score:
                out.append((score, (one, two)))
            if told is not None:
                told(Progress(number + 1, len(pairs), time.monotonic() - began))
        out.sort(key=lambda one: -one[0])
        return [pair for _, pair in out], len(pairs)
