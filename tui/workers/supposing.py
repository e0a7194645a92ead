"""What-ifs tried in a thread of their own that only posts messages; they can be stopped at any moment."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

from textual.message import Message
from textual.message_pump import MessagePump

from core.errors import ReelturnError
from tui.faults import fault_words

if TYPE_CHECKING:
    from core.planning.answers.whatif import WhatIf
    from core.workbook.workbook import Workbook


class Trying(Message):
    """A change is being planned with now."""

    def __init__(self, asked: Supposing, name: str) -> None:
        super().__init__()
        self.asked, self.name = asked, name


class Brought(Message):
    """What one change brings; more may come."""

    def __init__(self, asked: Supposing, found: WhatIf) -> None:
        super().__init__()
        self.asked, self.found = asked, found


class Tried(Message):
    """All that was tried before the end or the stop, or why nothing could be."""

    def __init__(self, asked: Supposing, tried: tuple[WhatIf, ...], trouble: str = "") -> None:
        super().__init__()
        self.asked, self.tried, self.trouble = asked, tried, trouble


class Supposing:
    """The usual changes, each planned for so many seconds. ``run`` is the thread's work."""

    def __init__(self, workbook: Workbook, listener: MessagePump, seconds: float) -> None:
        self._book, self._listener, self._seconds = workbook, listener, seconds
        self._stop = threading.Event()
        self._silent = False

    def stop(self, *, silently: bool = False) -> None:
        """Tells the work to end; silently where nobody is left to hear of it."""
        self._silent = self._silent or silently
        self._stop.set()

    def run(self) -> None:
        """Tries one change after another until all are done or it is stopped; nothing is kept."""
        try:
            tried = self._book.plans.suppose(
                seconds=self._seconds, stop=self._stop.is_set, told=self._trying, found=self._one
            )
        except ReelturnError as error:
            self._post(Tried(self, (), str(error)))
        except Exception as error:
            self._post(Tried(self, (), fault_words(error, self._book.path, self._book.now())))
        else:
            self._post(Tried(self, tried))

    def _one(self, found: WhatIf) -> None:
        self._post(Brought(self, found))

    def _trying(self, name: str) -> None:
        self._post(Trying(self, name))

    def _post(self, message: Message) -> None:
        if not self._silent:
            self._listener.post_message(message)
