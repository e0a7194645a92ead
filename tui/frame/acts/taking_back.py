"""Before something is taken back that this program did not do itself: what it was, and whose."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from core.evening.warming.forgotten import forgotten

if TYPE_CHECKING:
    from tui.home import Home


def ask_whose(home: Home, then: Callable[[], None]) -> None:
    """Takes back at once what was done here since the program was opened; asks about anything else."""
    from tui.asking.asking import AskYes

    number, words = home.do(home.book.next_to_take_back, over=False) or (0, "")
    whose = home.book.whose(number) if number else ""
    if not whose:
        then()
        return
    question = AskYes(f"Take back: {words}?", f"It was done {whose}. Enter takes it back; Esc: it stays.")
    home.push_screen(question, lambda yes: then() if yes else None)


def take_back(home: Home) -> None:
    """Takes the last change back, and says what still lies in the heat or turns of which it told."""
    was = home.book.shelf
    sentence = home.do(home.book.undo)
    if not sentence:
        return
    again = home.keyed("{any.redo}")
    left = next(forgotten(was, home.book.shelf), None)
    if left is not None:
        home.say(f"taken back; {left.taken_back(again)}", bad=True)
        return
    # What is to be done comes first: a long act is cut at the edge of the screen.
    plans = home.keyed("taken back; the plan does not fit that, {any.plan} plans again:")
    told = f"{sentence}. {again} does it again"
    home.say(sentence.replace("taken back:", plans, 1) if home.stale() else told)
