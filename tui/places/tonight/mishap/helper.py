"""The helper does not come, or comes for a part of the evening only."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from core.evening.around.hours import helper_times, with_helper, without_helper
from core.shelf import Shelf
from core.store.studio.hours_words import helper_span
from core.words import day_text

if TYPE_CHECKING:
    from tui.home import Home

#: Takes what it does to the shelf, and what it is called.
Happens = Callable[[Callable[[Shelf], Shelf], str], object]


def ask_helper(home: Home, day: date, happens: Happens) -> None:
    """Asks which of the two, and from when until when."""
    from tui.asking.asking import AskText
    from tui.asking.choosing import AskChoice

    times = helper_times(home.shelf, day)

    def check(text: str) -> str | None:
        return None if helper_span(text, times) else "wants such as until 20:10, from 20:00, or 19:00-20:10"

    def typed(text: str | None) -> None:
        span = helper_span(text, times) if text else None
        if span is not None:
            what = f"helper on {day_text(day)} {span[0]}-{span[1]}"
            happens(lambda shelf: with_helper(shelf, day, *span), what)

    def answered(how: str | None) -> None:
        if how == "none":
            happens(lambda shelf: without_helper(shelf, day), f"no helper on {day_text(day)}")
        elif how is not None:
            told = f"Expected {times[0]}-{times[1]}." if times else "Nobody is expected by the hours."
            question = AskText(
                "When is the helper there?", told, draft="helper", hint="until 20:10", check=check
            )
            home.push_screen(question, typed)

    choices = (("none", "does not come"), ("part", "leaves early, or comes late: type until or from when"))
    why_not = {} if times else {"none": "nobody is expected"}
    title = f"The helper on {day_text(day)}"
    home.push_screen(AskChoice(title, choices, "none" if times else "part", why_not=why_not), answered)
