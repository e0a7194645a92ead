"""The page that tells what a plan made in mid-evening moves, before it is kept."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from core.words import counted
from tui.asking.asking import Question
from tui.frame.by_itself import ByItself
from tui.frame.drawn.sentences import LETTERS, ROWS, Sentences
from tui.keys.keys import bindings


class MovedPage(ByItself, Question[bool]):
    """What the new plan moves; Enter keeps it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("list")
    FOOT = "{ask.yes} keeps the new plan   {ask.out} leaves the kept one as it is"

    def __init__(self, moved: Sequence[str], *, asked: bool = False) -> None:
        """``asked``: someone pressed the key that shows it."""
        count = len(moved)
        told = f"{counted(count, 'thing')} to know" if count else "nothing moves"
        title = f"Planned again: {told}"
        super().__init__(title, "Only steps from now on may move; what was done stays as it was.")
        self.moved = tuple(moved)
        self.by_itself = not asked
        if sum(1 + len(one) // LETTERS for one in moved) > ROWS:
            self.FOOT = f"{{list.page_down}} turns the page   {type(self).FOOT}"

    def answers(self) -> Iterable[Widget]:
        """The sentences."""
        yield Sentences(self.moved or ("every step stays where it is",))

    def action_yes(self) -> None:
        """Keeps the plan."""
        self.dismiss(True)
