"""Reading captures in a thread of its own: how far it has come can be asked, and it can be stopped."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Protocol, TypeVar

from textual.message import Message

from core.capture.files.progress import Asked, Cancelled, Progress, Told
from core.errors import ReelturnError
from tui.desk import Desk
from tui.faults import fault_words


class ReadOver(Message):
    """A reading has ended, with what came out or with a sentence that says why nothing did."""

    def __init__(self, reading: Reading, found: object, trouble: str) -> None:
        super().__init__()
        self.reading, self.found, self.trouble = reading, found, trouble


Found = TypeVar("Found")
#: Reads, telling how far it came; what comes out is handed on in the screen's own thread.
Work = Callable[[Told, Asked], Found]


class Owner(Desk, Protocol):
    """The program that a reading belongs to."""

    reading: Reading | None


class Reading:
    """One reading of a reel's files. It belongs to the program, not to a place: one may look elsewhere."""

    def __init__(
        self, home: Owner, reel: str, word: str, work: Work[Found], done: Callable[[Found], None], *,
        kept: str = "nothing was kept",
    ) -> None:  # fmt: skip
        self.home, self.reel, self.word = home, reel, word
        self._kept = kept  # what of it stays where it is stopped
        self.progress: Progress | None = None
        self._work: Work[object] = work
        self._done: Callable[..., None] = done
        self._stop = threading.Event()

    @property
    def stopped(self) -> bool:
        """True once it was told to stop."""
        return self._stop.is_set()

    def start(self) -> None:
        """Begins."""
        self.home.reading = self
        self.home.run_worker(self._run, thread=True, group="reading", exit_on_error=False)

    def stop(self) -> None:
        """Tells it to end; nothing is kept of it."""
        self._stop.set()

    def _reached(self, progress: Progress) -> None:
        self.progress = progress

    def _run(self) -> None:
        found: object = None
        trouble = ""
        try:
            found = self._work(self._reached, self._stop.is_set)
        except Cancelled:
            trouble = f"{self.reel}: stopped, {self._kept}"
        except ReelturnError as error:
            trouble = str(error)
        except Exception as error:
            trouble = f"{self.reel}: {fault_words(error, self.home.book.path, self.home.now())}"
        self.home.post_message(ReadOver(self, found, trouble))

    def over(self, found: object, trouble: str) -> None:
        """Hands on what came out, or says what kept it from that; in the screen's own thread."""
        self.home.reading = None
        if self._stop.is_set() and not trouble:
            trouble = f"{self.reel}: stopped, {self._kept}"
        if trouble:
            self.home.say(trouble, bad=True)
        else:
            self._done(found)
        self.home.took_over()
