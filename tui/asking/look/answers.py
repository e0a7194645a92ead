"""What a look asks, and what may be answered."""

from __future__ import annotations

from collections.abc import Callable

from textual import events
from textual.widgets import Input, Static

from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Answers:
    """What one line can be answered with by a digit; ``many``: several of them together.

    ``by_decks``: those that no reel tells, only a deck.
    """

    words: tuple[str, ...]
    many: bool = False
    by_digit: bool = True
    by_decks: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked about the text of one line once it is typed: 1 is yes, 2 no, Enter not known yet."""

    name: str
    says: str
    yes: str  # what stands in the line then
    no: str  # what that means, in words


class Choosable(Static):
    """The answers of the line under the cursor, with their digits."""


class OneAnswer(Input):
    """The line to type in; a digit chooses where the line has answers, the arrows go through them."""

    def __init__(self, chose: Callable[[str], bool]) -> None:
        """``chose`` takes a digit or an arrow that chooses, and says whether it did."""
        super().__init__(select_on_focus=False)
        self._chose = chose

    def on_key(self, event: events.Key) -> None:
        """What chooses is not typed."""
        if self._chose(event.key):
            event.stop()
            event.prevent_default()
