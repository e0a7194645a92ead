"""One line of a line-up sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a sheet: something to do, or a tone with its expected reading in `unit`.

    `per_track` lines have a reading for each track, others one (as track 0). Without `judged` a reading is
    only written down. `low` and `high` bound what passes.
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
