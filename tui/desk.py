"""The program as those see it who work for it: a line at the foot, the workbook, the clock, threads.

What works for the program (a reading, the made-up shelf, the telling of faults) asks for this much of it and
does not import the program itself.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Protocol

from textual.message import Message

if TYPE_CHECKING:
    from core.workbook.workbook import Workbook


class Desk(Protocol):
    """What whoever works for the program may ask of it."""

    book: Workbook
    faults: dict[object, None]

    def say(self, text: str, *, bad: bool = False) -> None:
        """Says one line at the foot."""

    def now(self) -> datetime:
        """The studio's time."""

    def keyed(self, text: str) -> str:
        """A sentence with the keys as they are set."""

    def took_over(self) -> None:
        """What came out of a thread was taken over."""

    @property
    def run_worker(self) -> Callable[..., object]:
        """Runs something in a thread of its own."""

    @property
    def post_message(self) -> Callable[[Message], object]:
        """Hands a message on."""

    @property
    def call_from_thread(self) -> Callable[..., object]:
        """Calls something in the screen's own thread."""
