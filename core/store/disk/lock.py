"""One writer at a time: a lock on a side file, held from reading to renaming and no longer."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from core.errors import Refused
from core.store.disk.atomic import why_not_written

WAIT_SECONDS = 20.0


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Holds the lock of the shelf at ``path``; Refused if another program does not let go of it in time.

    The lock belongs to the open file: a program that dies lets go of it. The side file stays.
    """
    beside = path.with_name(f".{path.name}.lock")
    try:
        descriptor = os.open(beside, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise Refused(why_not_written(beside, error)) from error
    try:
        until = time.monotonic() + WAIT_SECONDS
        pause = 0.001
        while not taken(descriptor):
            if time.monotonic() > until:
                raise Refused(
                    f"{path}: another program is writing to this shelf, nothing was changed: try again"
                )
            time.sleep(pause)
            pause = min(pause * 1.5, 0.02)
        yield
    finally:
        os.close(descriptor)


def taken(descriptor: int) -> bool:
    """Locks that open file for this program; False where another one holds it."""
    try:
        import fcntl
    except ImportError:
        return _taken_on_windows(descriptor)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _taken_on_windows(descriptor: int) -> bool:
    import importlib

    msvcrt = importlib.import_module("msvcrt")
    try:
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
    except OSError:
        return False
    return True
