"""The evening as its acts see it: the sheet, the step under the cursor, the one way to change the shelf."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Protocol

from core.evening.playing.passes import TapePass
from core.evening.tonight.sheet import RunSheet, Step
from core.shelf import Shelf

if TYPE_CHECKING:
    from textual.geometry import Size

    from tui.home import Home


class Evening(Protocol):
    """What the acts of an evening ask of the place that holds them."""

    @property
    def home(self) -> Home:
        """The program."""

    @property
    def sheet(self) -> RunSheet:
        """The run sheet as it was last laid out."""

    @property
    def step(self) -> Step | None:
        """The step under the cursor."""

    @property
    def is_on_top(self) -> bool:
        """True while no question and no card lies above it."""

    @property
    def size(self) -> Size:
        """How wide and high the place is."""

    def running_tape(self) -> TapePass | None:
        """The pass that runs now, of whichever reel."""

    def shown_tape(self) -> TapePass | None:
        """The pass that the strip tells of."""

    def as_now(self, step: Step) -> Step:
        """That step as it is by what was answered meanwhile."""

    def laid(self, to: str = "") -> None:
        """Draws the evening, the cursor on the step ``to`` if it is told."""

    def on_from(self, step: Step) -> None:
        """The cursor goes on to what follows that step."""

    def refresh_foot(self) -> None:
        """Draws the foot anew, since what can be used may have changed."""

    def say(self, text: str, *, bad: bool = False) -> None:
        """Says one line at the foot of the place."""

    def alter(
        self,
        act: Callable[[Shelf], Shelf],
        what: str,
        said: str,
        *,
        at: datetime | None = None,
        because: str = "",
    ) -> bool:
        """One change of the shelf, to be taken back as one; True if it was made."""
