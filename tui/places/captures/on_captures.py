"""A reel's captures as its acts see them: the pass that is shown, its check, the finding under the cursor."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from core.findings import Check, Finding
from tui.board.rows import ChartRow
from tui.frame.acts.held import Here
from tui.workers.reading import Found, Reading, Work

if TYPE_CHECKING:
    from core.raw import RawCheck


class OnCaptures(Here, Protocol):
    """What is done with captures asks this much of the place."""

    reel: str
    number: int
    trouble: str
    treble: bool

    @property
    def row(self) -> ChartRow | None:
        """The reel's row on the chart."""

    @property
    def checks(self) -> tuple[Check, ...]:
        """The newest check of every pass."""

    @property
    def check(self) -> Check | None:
        """The check of the pass that is shown."""

    @property
    def finding(self) -> Finding | None:
        """The finding under the cursor."""

    def record(self, check: Check | None) -> RawCheck | None:
        """The record in which that check is kept."""

    def place_on(self, step: int) -> None:
        """The cursor goes on by so many lines."""

    def say(self, text: str, *, bad: bool = False) -> None:
        """Says one line at the foot of the place."""

    def laid(self) -> None:
        """Shows everything as the shelf has it now."""

    def refresh_head(self) -> None:
        """Draws the head anew."""

    def refresh_foot(self) -> None:
        """Draws the foot anew, since what can be used may have changed."""


def read(place: OnCaptures, word: str, work: Work[Found], done: Callable[[Found], None]) -> None:
    """Reads in a thread; ``done`` takes what was found."""
    place.trouble = ""
    Reading(place.home, place.reel, word, work, done).start()
    place.laid()
    place.refresh_foot()
