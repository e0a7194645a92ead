"""The chamber's place as its acts see it: the load that is shown, the reel under the cursor."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Protocol

from core.conditioning.load_state import LoadState
from core.conditioning.loads.degrees import Degrees
from core.shelf import Shelf
from tui.frame.acts.held import Here


class OnChamber(Here, Protocol):
    """What is done at a chamber asks this much of the place."""

    chosen: str

    @property
    def shelf(self) -> Shelf:
        """The shelf as it is."""

    @property
    def degrees(self) -> Degrees:
        """The unit that the owner chose."""

    @property
    def keys(self) -> list[str]:
        """Every load, oldest first."""

    @property
    def state(self) -> LoadState | None:
        """The load that is shown, as it stands now."""

    @property
    def chamber(self) -> str:
        """The chamber that is shown."""

    @property
    def reel(self) -> str:
        """The reel under the cursor, else the only one of the load."""

    def say(self, text: str, *, bad: bool = False) -> None:
        """Says one line at the foot of the place."""

    def alter(self, act: Callable[[Shelf], Shelf], what: str, said: str, at: datetime | None = None) -> bool:
        """One change of the shelf, to be taken back as one; True if it was made."""

    def choose(self, key: str | None) -> None:
        """Shows that load."""
