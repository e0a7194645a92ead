"""Which columns of the chart there is room for, and their heads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widget import Widget

from core.reels.reel import STAGES
from core.values import dataclass
from tui.board.rows import LETTERS
from tui.safe_text import fit, plain

if TYPE_CHECKING:
    from textual.app import RenderResult

#: The stages' names where a column has no room for the whole of them.
SHORT = ("found", "ident.", "cond.", "aligned", "transf.", "verified")


@dataclass(frozen=True, slots=True)
class Columns:
    """How wide each column is; 0 where there is no room for it."""

    reel: int
    format: int
    says: int
    cell: int
    next: int
    minutes: int
    planned: int = 0
    playable: int = 0
    place: int = 0
    songs: int = 0


def columns(width: int) -> Columns:
    """The columns for a terminal of that width: wide ones add songs, place, playable days, and dates."""
    reel, form, minutes = 7, 14, 4
    if width < 70:  # what the box says tells tapes apart: minutes and the format's end make room for it
        form, following = 8, 16
        return Columns(reel, form, max(width - 1 - reel - form - 6 * 2 - following, 4), 2, following, 0)
    if width < 110:
        cell, following = (2, 20) if width < 100 else (3, 22)
        says = width - 1 - reel - form - 6 * cell - following - minutes
        return Columns(reel, form, max(says, 4), cell, following, minutes)
    cell = 2 if width < 160 else 9 if width < 190 else 12  # room for a date and a gap, or for whole words
    following, planned, playable, place = 20, 13, 6, 7
    left = width - 1 - reel - form - 6 * cell - following - minutes - planned - playable - place
    says = max(12, left * 5 // 8)
    return Columns(reel, form, says, cell, following, minutes, planned, playable, place, left - says)


class ColumnHeads(Widget):
    """The heads of the chart's columns."""

    def render(self) -> RenderResult:
        """One line, as wide as the chart."""
        c = columns(self.size.width - 1)
        heads_of_stages = STAGES if c.cell >= 12 else SHORT if c.cell >= 8 else LETTERS
        cells = "".join(fit(word, c.cell) for word in heads_of_stages)
        heads = ((" reel", c.reel + 1), ("format", c.format), ("box says", c.says), (cells, 6 * c.cell))
        text = "".join(fit(word, width) for word, width in heads)
        text += fit("next", c.next) + fit("min", c.minutes, right=True)
        wide = ((" planned", c.planned), ("play", c.playable), ("place", c.place), ("songs", c.songs))
        text += "".join(fit(word, width) for word, width in wide)
        return plain(fit(text, self.size.width))
