"""A fault of the program itself is one line at the foot and a place in a log file; the evening goes on.

A pass that plays, a chamber that waits and the clock must not end because some other part stumbled. With
REELTURN_DEBUG set the program ends at once instead and shows where, as the command line does.
"""

from __future__ import annotations

import os
import tempfile
import traceback
from asyncio import CancelledError
from datetime import datetime
from pathlib import Path
from typing import Any

from textual.events import Compose, Mount
from textual.message import Message
from textual.message_pump import MessagePump
from textual.screen import Screen

from core.errors import ReelturnError
from tui.desk import Desk
from tui.library.inside import Handles, handle_through

#: A log that has grown to this is put beside, and a new one begun; the one before that goes.
LOG_BYTES = 1_000_000
#: How many faults are remembered, so that one that comes every second is written down once.
REMEMBERED = 50


def shows_faults() -> bool:
    """Whether a fault is to end the program and show where it was."""
    return bool(os.environ.get("REELTURN_DEBUG"))


def log_beside(shelf: Path) -> Path:
    """The log file of a shelf: beside it, where one looks for it."""
    return shelf.with_name(f"{shelf.name}.log")


def write_down(error: BaseException, shelf: Path, at: datetime) -> Path | None:
    """Writes where it happened into the shelf's log, else into one in the folder for passing files."""
    told = f"{at.isoformat()}\n{''.join(traceback.format_exception(error))}\n"
    for path in (log_beside(shelf), Path(tempfile.gettempdir()) / "reelturn.log"):
        try:
            if path.exists() and path.stat().st_size > LOG_BYTES:
                path.replace(path.with_name(f"{path.name}.1"))
            with open(path, "a", encoding="utf-8") as log:
                log.write(told)
        except OSError:
            continue
        return path
    return None


def fault_words(error: BaseException, shelf: Path, at: datetime) -> str:
    """One line on a fault of ours, which names the file that tells more."""
    path = write_down(error, shelf, at)
    beside = path is not None and path == log_beside(shelf)
    where = f"{path.name} beside the shelf" if path is not None and beside else str(path or "no log")
    what = " ".join(f"{type(error).__name__}: {error}".split())
    return f"a fault, written to {where}; all else goes on ({what})"


def tell(app: Desk, error: BaseException) -> None:
    """Says one line; the same fault again is neither written nor said a second time."""
    cause = getattr(error, "error", None) or error.__cause__ or error.__context__ or error
    if isinstance(cause, ReelturnError):
        app.say(str(cause), bad=True)
        return
    frames = traceback.extract_tb(cause.__traceback__)
    last = frames[-1] if frames else None
    mark = (type(cause).__name__, str(cause), last and (last.filename, last.lineno))
    if mark in app.faults:
        return
    app.faults[mark] = None
    while len(app.faults) > REMEMBERED:
        app.faults.pop(next(iter(app.faults)))
    app.say(fault_words(cause, app.book.path, app.now()), bad=True)


def _only_told(handles: Handles) -> Handles:
    """Handles one message; a fault in it does not end what handles the next one.

    The library lets go of a screen whose handler failed, and of the program with it.
    """

    async def handled(self: MessagePump, message: Message) -> None:
        try:
            await handles(self, message)
        except CancelledError:
            raise
        except Exception as error:
            app: Any = self.app
            if shows_faults() or not getattr(app, "goes_on", False):
                raise
            tell(app, error)
            if isinstance(self, Screen) and isinstance(message, Compose | Mount):
                app.call_later(app.without, self)

    return handled


handle_through(_only_told)
