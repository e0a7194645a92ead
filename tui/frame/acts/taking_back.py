"""Before something is taken back that this program did not do itself: what it was, and whose."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

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
