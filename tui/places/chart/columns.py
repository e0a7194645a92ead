"""Which columns of the chart there is room for, and their heads."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget

from core.reels.reel import STAGES
from core.values import dataclass
from tui.board.rows import LETTERS
from tui.safe_text import cells, fit, plain

if TYPE_CHECKING:
    from textual.app import RenderResult

WIDE = 110  # from here on there are columns for dates, place and songs
PLACE, WIDEST = 6, 16  # of the column of places
FOLLOWING, PLANNED = 20, 13  # of what comes next, and of when it is planned
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


@dataclass(frozen=True, slots=True)
class Needs:
    """How wide the longest text of a column is, the gap behind it included."""

    says: int = 0
    place: int = 0
    songs: int = 0
    next: int = FOLLOWING
    planned: int = PLANNED


def longest(texts: Iterable[str]) -> int:
    """What a column of these texts needs, with the gap behind it."""
    return max((cells(one) + 1 for one in dict.fromkeys(texts)), default=0)


def columns(width: int, needs: Needs | None = None) -> Columns:
    """The columns for a terminal of that width: wide ones add songs, place, playable days, and dates.

    What one of them does not need of its room goes to box, place and songs.
    """
    reel, form, minutes = 7, 14, 4
    if width < 70:  # what the box says tells tapes apart: minutes and the format's end make room for it
        form, following = 8, 16
        return Columns(reel, form, max(width - 1 - reel - form - 6 * 2 - following, 4), 2, following, 0)
    if width < WIDE:
        cell, following = (2, 20) if width < 100 else (3, 22)
        says = width - 1 - reel - form - 6 * cell - following - minutes
        return Columns(reel, form, max(says, 4), cell, following, minutes)
    cell = 2 if width < 160 else 9 if width < 190 else 12  # room for a date and a gap, or for whole words
    following, planned, playable, place = FOLLOWING, PLANNED, 6, 7
    if needs is not None:
        following, planned = min(following, max(needs.next, 5)), min(planned, max(needs.planned, 9))
    left = width - 1 - reel - form - 6 * cell - following - minutes - planned - playable - place
    says = max(12, left * 5 // 8)
    if needs is not None:
        free = left + place - max(needs.place, PLACE) - needs.says - needs.songs
        wider = max(0, min(free, needs.next - following))  # what all of them leave
        following += wider
        place, says = _shared(left + place - wider, says, needs)
    songs = width - 1 - reel - form - 6 * cell - following - minutes - planned - playable - place - says
    return Columns(reel, form, says, cell, following, minutes, planned, playable, place, songs)


def _shared(room: int, says: int, needs: Needs) -> tuple[int, int]:
    """How wide place and box are of the room for these two and the songs."""
    place = min(max(needs.place, PLACE), WIDEST)
    left = room - place
    if needs.says + needs.songs <= left:
        return place, left - needs.songs  # all of it stands there
    songs = min(left - min(says, needs.says), needs.songs)
    return place, left - songs


class ColumnHeads(Widget):
    """The heads of the chart's columns."""

    def __init__(self, of: Callable[[int], Columns] = columns) -> None:
        super().__init__()
        self._of = of

    def render(self) -> RenderResult:
        """One line, as wide as the chart."""
        c = self._of(self.size.width - 1)
        heads_of_stages = STAGES if c.cell >= 12 else SHORT if c.cell >= 8 else LETTERS
        cells = "".join(fit(word, c.cell) for word in heads_of_stages)
        heads = ((" reel", c.reel + 1), ("format", c.format), ("box says", c.says), (cells, 6 * c.cell))
        text = "".join(fit(word, width) for word, width in heads)
        text += fit("next", c.next) + fit("min", c.minutes, right=True)
        wide = ((" planned", c.planned), ("play", c.playable), ("place", c.place), ("songs", c.songs))
        text += "".join(fit(word, width) for word, width in wide)
        return plain(fit(text, self.size.width))
