"""When the program was last seen beside a running tape: a small file by the shelf, gone when it was left.

After a power failure it tells from when on nobody watched. It is a help to memory and no part of the shelf:
where it cannot be written or read, nothing is told.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from core.clock import write_time


def _beside(shelf: Path) -> Path:
    return shelf.with_name(f".{shelf.name}.seen")


def seen(shelf: Path, at: datetime) -> None:
    """Writes down that the program runs at that moment."""
    try:
        _beside(shelf).write_text(write_time(at.replace(microsecond=0)), encoding="ascii")
    except OSError:
        return


def last_seen(shelf: Path) -> datetime | None:
    """The last such moment; None where the program was left in order."""
    try:
        return datetime.fromisoformat(_beside(shelf).read_text(encoding="ascii"))
    except (OSError, ValueError):
        return None


def left(shelf: Path) -> None:
    """The program was left in order."""
    try:
        _beside(shelf).unlink(missing_ok=True)
    except OSError:
        return
