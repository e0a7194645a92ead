"""The search for a plan, in a thread of its own that only posts messages; it can be stopped at any moment."""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from textual.message import Message

from core.errors import ReelturnError
from core.plan import Plan
from tui.faults import fault_words

if TYPE_CHECKING:
    from core.planning.incumbent import Progress
    from core.workbook.workbook import Workbook


class Better(Message):
    """A better plan or a better bound; only the newest one counts."""

    def __init__(self, search: Search, progress: Progress) -> None:
        super().__init__()
        self.search, self.progress = search, progress

    def can_replace(self, message: Message) -> bool:
        """True for an older one that nobody looked at yet."""
        return isinstance(message, Better)


class Searched(Message):
    """The search has ended, with a plan or with a sentence that says why there is none."""

    def __init__(self, search: Search, plan: Plan | None, trouble: str = "") -> None:
        super().__init__()
        self.search, self.plan, self.trouble = search, plan, trouble


class Listens(Protocol):
    """Who hears of a search."""

    @property
    def post_message(self) -> Callable[[Message], object]:
        """Hands a message on."""


class Search:
    """One search. ``run`` is the thread's work; ``stop`` may be called from anywhere."""

    def __init__(
        self,
        workbook: Workbook,
        listener: Listens,
        days: int,
        *,
        seconds: float | None = None,
        effort: float | None = None,
        stands: bool = False,
        most: float = math.inf,
    ) -> None:
        """``stands``: decks that stand lined up are not lined up again.

        ``most``: seconds on the wall after which it stops wherever it is.
        """
        self._book, self._listener = workbook, listener
        self._days, self._most, self._stands = days, most, stands
        self._seconds, self._effort = seconds, effort
        self._stop = threading.Event()
        self._silent = False

    @property
    def stopped(self) -> bool:
        """True once it was told to stop."""
        return self._stop.is_set()

    def stop(self, *, silently: bool = False) -> None:
        """Tells the search to end; silently where nobody is left to hear of it."""
        self._silent = self._silent or silently
        self._stop.set()

    def run(self) -> None:
        """Searches until time is up or it is stopped; the plan is not kept, only told."""
        until = time.monotonic() + self._most
        try:
            plan = self._book.plans.plan(
                days=self._days,
                progress=self._heard,
                stop=lambda: self.stopped or time.monotonic() > until,
                keep=False,
                seconds=self._seconds,
                effort=self._effort,
                stands=self._stands,
            )
        except ReelturnError as error:
            self._post(Searched(self, None, str(error)))
        except Exception as error:
            self._post(Searched(self, None, fault_words(error, self._book.path, self._book.now())))
        else:
            self._post(Searched(self, plan))

    def _heard(self, progress: Progress) -> None:
        self._post(Better(self, progress))

    def _post(self, message: Message) -> None:
        if not self._silent:
            self._listener.post_message(message)
