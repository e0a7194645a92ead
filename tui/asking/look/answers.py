"""What a look asks, and what may be answered."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import Static

from core.values import dataclass

if TYPE_CHECKING:
    pass


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
