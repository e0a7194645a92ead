"""Acts: what some keys of a place do, held by the place and not inherited by it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, Protocol, TypeVar

if TYPE_CHECKING:
    from tui.home import Home


class Here(Protocol):
    """What all acts ask of the place that holds them; those of one place ask for more by a protocol of it."""

    @property
    def home(self) -> Home:
        """The program."""


Holds = TypeVar("Holds", bound=Here)


class Acts(Generic[Holds]):
    """What some keys do: each ``action_...`` works as one of the place's own once ``Place.holds`` took it."""

    def __init__(self, here: Holds) -> None:
        self.here = here

    @property
    def home(self) -> Home:
        """The program, by its own type."""
        return self.here.home

    def reason_not(self, action: str) -> str | None:
        """Why that action cannot be used now, as a sentence; None if it can, or is none of these."""
        return None

    @property
    def word_here(self) -> str:
        """The word under the cursor that the glossary may tell; empty where there is none."""
        return ""

    @classmethod
    def actions(cls) -> tuple[str, ...]:
        """The names under which the library looks for them."""
        return tuple(name for name in dir(cls) if name.startswith("action_"))
