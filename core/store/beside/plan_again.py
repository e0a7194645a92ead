"""That the evenings are to be planned again once what runs on a deck is over: a small file by the shelf.

It outlives the program: one that is left while a tape runs plans when it is opened again. It is a help to
memory and no part of the shelf: where it cannot be written or read, nothing is planned by itself.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from core.clock import write_time


def _beside(shelf: Path) -> Path:
    return shelf.with_name(f".{shelf.name}.plan-again")


def ask(shelf: Path, at: datetime) -> None:
    """Writes down that from that moment on the kept plan waits to be made anew."""
    try:
        _beside(shelf).write_text(write_time(at.replace(microsecond=0)), encoding="ascii")
    except OSError:
        return


def asked(shelf: Path) -> datetime | None:
    """Since when; None where nothing waits for that."""
    try:
        return datetime.fromisoformat(_beside(shelf).read_text(encoding="ascii"))
    except (OSError, ValueError):
        return None


def planned(shelf: Path) -> None:
    """It is planned again now, or by another hand: nothing waits any more."""
    try:
        _beside(shelf).unlink(missing_ok=True)
    except OSError:
        return
