"""Going on with a made-up shelf: its clock stands while the program is left, and runs on from there."""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from core.clock import write_time

#: The evening on which the made-up shelf is opened first; its clock runs on from there.
BEGINS = "2026-12-01T18:50"
ZONE = "Europe/Lisbon"
#: The file of a made-up shelf's folder that keeps its clock; a folder without it holds no made-up shelf.
CLOCK = "made-up-clock.txt"
TEMPORARY = "reelturn-demo-"


def demo_clock(begins: datetime | None = None) -> Callable[[], datetime]:
    """A clock that starts on the made-up evening, or at the moment told, and runs at the pace of ours."""
    first = begins or datetime.fromisoformat(BEGINS).replace(tzinfo=ZoneInfo(ZONE))
    started = time.monotonic()
    return lambda: first + timedelta(seconds=time.monotonic() - started)


def keep_clock(folder: Path, now: datetime) -> None:
    """Keeps what a made-up shelf's clock shows; where that cannot be written, it begins anew."""
    try:
        (folder / CLOCK).write_text(write_time(now.replace(microsecond=0)) + "\n", encoding="ascii")
    except OSError:
        return


def left_at(folder: Path) -> datetime | None:
    """The moment at which the made-up shelf of that folder was left; None where none lies there."""
    try:
        told = datetime.fromisoformat((folder / CLOCK).read_text(encoding="ascii").strip())
    except (OSError, ValueError):
        return None
    return told.astimezone(ZoneInfo(ZONE)) if (folder / "shelf.json").is_file() else None


def left_before() -> Path | None:
    """The made-up shelf among the temporary ones of this person that was worked on last."""
    mine = os.getuid() if hasattr(os, "getuid") else None
    found: list[tuple[float, Path]] = []
    for folder in Path(tempfile.gettempdir()).glob(f"{TEMPORARY}*"):
        try:
            told = (folder / CLOCK).stat()
        except OSError:
            continue
        if (mine is None or told.st_uid == mine) and left_at(folder) is not None:
            found.append((told.st_mtime, folder))
    return max(found)[1] if found else None
