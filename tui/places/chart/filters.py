"""Filters of the chart, that combine: a reel is shown if every one that is set lets it through."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from fractions import Fraction

from core.clock import later
from core.reels.reel import Reel
from core.values import dataclass
from tui.board.rows import ChartRow
from tui.board.words import width_words


@dataclass(frozen=True, slots=True)
class Filter:
    """What is to be shown; an empty field lets everything through. ``due_hours`` counts from now."""

    stages: frozenset[str] = frozenset()
    width: Fraction | None = None
    song: str = ""
    blocked: bool | None = None
    due_hours: int | None = None

    def shows(self, row: ChartRow, at: datetime) -> bool:
        """True if the row passes every part that is set."""
        return (
            (not self.stages or row.stage in self.stages)
            and (self.width is None or (row.reel.width is not None and row.reel.width.number == self.width))
            and (not self.song or self.song in row.songs)
            and (self.blocked is None or (row.blocked is not None) == self.blocked)
            and (self.due_hours is None or _due(row, later(at, hours=self.due_hours)))
        )

    def words(self, widths: dict[Fraction, str] | None = None) -> str:
        """The filter in words, for the line under the chart; empty where nothing is set."""
        parts = []
        if self.stages:
            parts.append(" or ".join(sorted(self.stages)))
        if self.width is not None:
            parts.append((widths or {}).get(self.width, f"{float(self.width):g} in"))
        if self.song:
            parts.append(f"for {self.song}")
        if self.blocked is not None:
            parts.append("blocked" if self.blocked else "not blocked")
        if self.due_hours is not None:
            parts.append(f"due within {self.due_hours} h")
        return ", ".join(parts)


def _due(row: ChartRow, limit: datetime) -> bool:
    moments = (row.step.due, row.playable_until, row.planned.start if row.planned else None)
    return any(moment is not None and moment <= limit for moment in moments)


def widths_of(reels: Iterable[Reel]) -> dict[Fraction, str]:
    """The widths on the shelf, widest first, each as it is shown."""
    found = {reel.width.number: width_words(reel.width) for reel in reels if reel.width}
    return dict(sorted(found.items(), reverse=True))
