"""What is seen of the reels that are looked at in an evening: a line each, to fill in at the table."""

from __future__ import annotations

from typing import Literal

from reportlab.platypus.flowables import Flowable

from core.paper.look.evenings import Evening
from core.paper.look.look import gap, section
from core.paper.look.look_lines import answers_alone, look_table, look_words, typed_back
from core.paper.look.page import Sheet, column
from core.paper.look.text import DECK, Text
from core.paper.look.words import day_and_year
from core.reels.reel import Reel
from core.shelf import Shelf

_TALL, _ON_THE_ORDER, _CLOSER, _CLOSEST = 34.0, 26.0, 22.0, 17.0
#: How those lines are set on the order: as on the inspection list, close, under each step, or not at all.
Lines = Literal["as listed", "close", "under each", ""]
LINES: tuple[Lines, ...] = ("as listed", "close", "under each")  # the roomier first


def look_sheet(shelf: Shelf, evening: Evening, size: str = "A4") -> Sheet | None:
    """The lines, as on the screen's form and the inspection list; None where no reel is looked at."""
    reels = looked_at(shelf, evening)
    if not reels:
        return None
    table = look_table(reels, column(size), _TALL)
    lines = (*look_words(), gap(3), table, gap(3), Text(typed_back(reels), DECK))
    return Sheet(f"What is seen, {day_and_year(evening.day)}", lines, "a line for each reel to look at")


def looked_at(shelf: Shelf, evening: Evening) -> list[Reel]:
    """The reels that are looked at in the evening, in the order of its steps."""
    keys = dict.fromkeys(step.subject for step in evening.steps if step.kind == "identify")
    return [shelf.reels[key] for key in keys if key in shelf.reels]


def lines_told(shelf: Shelf, evening: Evening, wide: float, lines: Lines, *, close: bool) -> list[Flowable]:
    """The same lines as a section of the order, where they are one."""
    reels = looked_at(shelf, evening) if lines in ("as listed", "close") else []
    if not reels:
        return []
    if lines == "close":
        table = look_table(reels, wide, _CLOSEST, keys_alone=True)
        return section("What is seen", answers_alone(), gap(1), table, room=70)
    table = look_table(reels, wide, _CLOSER if close else _ON_THE_ORDER)
    return section(
        "What is seen", *look_words(), gap(2), table, gap(2), Text(typed_back(reels), DECK), room=130
    )
