"""One line of a line-up sheet."""

from __future__ import annotations

from typing import Literal

from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a sheet: something to do, or a tone with its expected reading in `unit`.

    `per_track` lines have a reading for each track, others one (as track 0). Without `judged` a reading is
    only written down. `low` and `high` bound what passes. `tracks` are as many as the tape lies over: 0 for
    all of the sheet's.
    """

    key: str
    says: str
    unit: Literal["", "dB", "°"] = ""
    hz: float | None = None
    expected: float | None = None
    low: float | None = None
    high: float | None = None
    per_track: bool = False
    judged: bool = False
    tracks: int = 0

    def over(self, tracks: int) -> tuple[int, ...]:
        """The tracks on which it has a reading, on a sheet of so many: none without one, 0 for one in all."""
        if not self.unit:
            return ()
        return tuple(range(1, (self.tracks or tracks) + 1)) if self.per_track else (0,)
