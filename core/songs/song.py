"""A song and the paper that tells of it."""

from __future__ import annotations

import re
from fractions import Fraction

from core.values import dataclass

_NO = ("no", "n", "0", "false", "-", "?")
_OVER = re.compile(r"(?<!not )(?<!never )(?<!heads )\b(?:wiped|erased|recorded over)\b")


@dataclass(frozen=True, slots=True)
class Need:
    """A reel that a song needs, whole or from ``start`` to ``end`` in seconds of play time."""

    reel: str
    start: Fraction | None = None
    end: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Song:
    """A song: ``album`` is an album's name or empty, ``priority`` 1 (low) to 9, lengths in seconds."""

    key: str
    title: str = ""
    artist: str = ""
    album: str = ""
    order: int | None = None
    priority: int = 5
    target_length: Fraction | None = None
    needs: tuple[Need, ...] = ()
    todo: str = ""
    notes: str = ""
    writers: str = ""
    isrc: str = ""  # of the recording, as given
    iswc: str = ""  # of the work, as given
    clock_reel: str = ""  # the reel whose speed is right; blank: the first that the song needs
    clock_speed: str = ""  # how fast that reel plays, where the owner knows better than code or check
    extra: tuple[tuple[str, str], ...] = ()

    def span_on(self, reel: str) -> Need | None:
        """The first need on that reel that tells its span, else the first on it; None if there is none."""
        mine = [need for need in self.needs if need.reel == reel]
        return next((need for need in mine if need.start is not None), mine[0] if mine else None)


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One track of a track sheet; ``reel`` empty is a loose sheet, ``copied_from`` as ``R-001:3-8; ?``.

    ``found_in`` is the reel in whose box the sheet lay; ``wiped`` says that the track was recorded over.
    """

    sheet: str
    track: int | None
    reel: str = ""
    song: str = ""
    date: str = ""
    part: str = ""
    player: str = ""
    take: str = ""
    copied_from: str = ""
    notes: str = ""
    found_in: str = ""
    wiped: str = ""
    extra: tuple[tuple[str, str], ...] = ()

    @property
    def recorded_over(self) -> bool:
        """True where the row says so, in its own column or in its notes (wiped, erased, recorded over)."""
        if self.wiped.strip():
            return self.wiped.strip().casefold() not in _NO
        return bool(self.notes) and _OVER.search(self.notes.casefold()) is not None

    @property
    def label(self) -> str:
        """``R-001:3``, or the loose sheet and its track."""
        where = self.reel or f"loose sheet {self.sheet}"
        return where if self.track is None else f"{where}:{self.track}"
