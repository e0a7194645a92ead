"""What is said at the foot of a place: a sentence, and whether it names the key that undoes it."""

from __future__ import annotations

from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Told:
    """``undoes``: it names that key; what it says is over once the change is taken back."""

    text: str
    undoes: bool = False

    def __bool__(self) -> bool:
        return bool(self.text)


def as_told(said: str | Told) -> Told:
    """The sentence as a value; one of words alone names no such key."""
    return said if isinstance(said, Told) else Told(said)
