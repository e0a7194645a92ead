"""What is seen of the reels that are looked at in an evening: a line each, to fill in at the table."""

from __future__ import annotations

from core.paper.look.evenings import Evening
from core.paper.look.look import gap
from core.paper.look.look_lines import look_table, look_words, typed_back
from core.paper.look.page import Sheet, column
from core.paper.look.text import DECK, Text
from core.paper.look.words import day_and_year
from core.shelf import Shelf

_TALL = 34.0


def look_sheet(shelf: Shelf, evening: Evening, size: str = "A4") -> Sheet | None:
    """The lines, as on the screen's form and the inspection list; None where no reel is looked at."""
    keys = dict.fromkeys(step.subject for step in evening.steps if step.kind == "identify")
    reels = [shelf.reels[key] for key in keys if key in shelf.reels]
    if not reels:
        return None
    table = look_table(reels, column(size), _TALL)
    lines = (*look_words(), gap(3), table, gap(3), Text(typed_back(reels), DECK))
    return Sheet(f"What is seen, {day_and_year(evening.day)}", lines, "a line for each reel to look at")
