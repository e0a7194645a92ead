"""The closing look of tonight as lines, for the screen and the command."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.evening.closing import Closing, closing
from core.evening.runsheet import run_sheet
from core.plan import Plan
from core.shelf import Shelf
from tui.board.chamber import coming_touches


def closing_of(shelf: Shelf, plan: Plan | None, now: datetime) -> Closing:
    """What is to be looked at before one leaves now, by what was really done tonight."""
    touches = [touch.step() for touch in coming_touches(shelf)]
    sheet = run_sheet(shelf, plan, now, touches)
    return closing(shelf, plan, sheet.steps, now, touches=touches)


def closing_lines(look: Closing) -> Iterator[tuple[str, str]]:
    """A heading a section, a sentence a line; a running pass or a warm chamber stands out."""
    loud = "bad" if look.home else "good"
    if not look.home:
        yield loud, "No chamber is warm: nobody has to stay."
    for name, lines in look.sections():
        yield "head", name
        role = "bad" if name == "Somebody home" else "word"
        for line in lines:
            yield role, line
