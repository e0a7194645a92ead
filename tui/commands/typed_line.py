"""One line typed at a terminal: changed as it is typed, and a text can stand in it from the start."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import ModuleType

ROOM = 62  # a prompt that is longer leaves no room for an answer beside it
HUNG_UP = 129  # the exit status of a program whose terminal went away
LOOK_SECONDS = 0.1


def typed_line(prompt: str, stands: str = "") -> str:
    """The line that is typed, with ``stands`` in it to be changed; EOFError where the terminal ends."""
    editing = _editing()
    if editing is not None:
        editing.set_startup_hook(lambda: editing.insert_text(stands) if stands else None)
    if len(prompt) > ROOM:
        print(prompt.rstrip())
        prompt = "    "
    try:
        return input(prompt)
    finally:
        if editing is not None:
            editing.set_startup_hook(None)


def kept_line(prompt: str, stands: str, keep: Callable[[str], None]) -> str:
    """As ``typed_line``; where the terminal goes away, ``keep`` is told what was typed of the line."""
    with _watched() as (gone, so_far):
        try:
            line = typed_line(prompt, stands)
        except EOFError:
            line = so_far[0]  # the end of all input in a line that was begun: the terminal went away
            if not line and not gone:
                raise
            gone.append(0)
        if gone:  # within the watch: the signal often comes twice, and the second would end us
            keep(line or so_far[0])
            raise SystemExit(HUNG_UP)
    return line


@contextmanager
def _watched() -> Iterator[tuple[list[int], list[str]]]:
    """Notes that the terminal went away, and ten times a second what stands in the line.

    The library forgets a line that was begun once nothing more can be read, so it is looked at before.
    """
    gone: list[int] = []
    so_far, editing = [""], _editing()
    if editing is None or not hasattr(signal, "setitimer"):
        yield gone, so_far
        return

    def look(*_: object) -> None:
        if not gone:
            so_far[0] = editing.get_line_buffer()

    hung_up = signal.signal(signal.SIGHUP, lambda number, _: gone.append(number))
    looked = signal.signal(signal.SIGALRM, look)
    signal.setitimer(signal.ITIMER_REAL, LOOK_SECONDS, LOOK_SECONDS)
    try:
        yield gone, so_far
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, looked)
        signal.signal(signal.SIGHUP, hung_up)


def _editing() -> ModuleType | None:
    """The library that edits a line, where this Python has it."""
    try:
        import readline
    except ImportError:
        return None
    return readline
