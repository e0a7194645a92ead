"""What is half typed outlives the program: the terminal that closes, the signal that ends it, a power cut."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.home import Home

ENDED = 128  # an exit status is this and the signal's number
LONGEST = 30  # letters of a half-typed text that are said


def unfinished(home: Home) -> dict[str, str]:
    """What was typed and not taken, by the name of where; what is looked for on the chart is no such text."""
    return {name: text for name, text in home.drafts.items() if text.strip() and name != "find"}


def keep_typed(home: Home) -> None:
    """Keeps it beside the shelf, where it is not what was kept last."""
    home.half_typed.keep(unfinished(home))


def take_up(home: Home) -> None:
    """What was half typed when the program ended stands again where it was typed."""
    home.drafts.update(home.half_typed.found())


def taken_up_words(home: Home) -> str:
    """A sentence on it; empty where nothing was."""
    texts = unfinished(home)
    if not texts:
        return ""
    from tui.frame.acts.draft_words import told

    if len(texts) > 1:
        named = ", ".join(told(name) for name in list(texts)[:2])
        more = f" and {len(texts) - 2} more" if len(texts) > 2 else ""
        return f"half typed when the program ended: {named}{more}; it stands where it was typed"
    ((name, text),) = texts.items()
    text = text if len(text) <= LONGEST else f"{text[:LONGEST].rstrip()}..."
    return f"half typed when the program ended: {told(name)}: {text}; it stands there"


@contextmanager
def typed_is_kept(home: Home) -> Iterator[None]:
    """While the program runs: a signal that ends it keeps first what is half typed.

    A terminal that closed takes the program with it; told to end otherwise, it leaves its screen in order.
    """

    def gone(number: int, _: FrameType | None) -> None:
        keep_typed(home)
        signal.signal(number, signal.SIG_DFL)
        os.kill(os.getpid(), number)

    def told_to_end(number: int, _: FrameType | None) -> None:
        keep_typed(home)
        home.stop_planning()
        home.exit(ENDED + number)

    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, gone)
    signal.signal(signal.SIGTERM, told_to_end)
    try:
        yield
    finally:
        keep_typed(home)
