"""The closing look of tonight as lines, for the screen and the command."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.evening.around.closing import closing
from core.evening.around.closing_look import Closing
from core.evening.tonight.runsheet import run_sheet
from core.plan import Plan
from core.shelf import Shelf
from tui.board.chamber import coming_steps


def closing_of(shelf: Shelf, plan: Plan | None, now: datetime) -> Closing:
    """What is to be looked at before one leaves now, by what was really done tonight."""
    touches = coming_steps(shelf, now)
    sheet = run_sheet(shelf, plan, now, touches)
    return closing(shelf, plan, sheet.steps, now, touches=touches)


def closing_lines(look: Closing) -> Iterator[tuple[str, str]]:
    """A heading a section, a sentence a line; a running pass or a warm chamber stands out."""
    yield from ((role, text) for role, text, _ in closing_rows(look))


def closing_rows(look: Closing) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """The same, with the reels that a line is about: those of one place, or, for the heading, all of them."""
    if not look.home:
        yield "good", "No chamber is warm: nobody has to stay.", ()
    for name, lines in look.sections():
        back = name == "Put back"
        yield "head", name, tuple(one.reel for one in look.back) if back else ()
        if back:
            yield from (("dim" if done else "word", line, reels) for line, reels, done in look.by_place)
            continue
        role = "bad" if name == "Somebody home" else "word"
        yield from ((role, line, ()) for line in lines)
