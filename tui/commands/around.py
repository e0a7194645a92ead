"""What is around a command: the shelf's file, this moment, and whether a person sits there."""

from __future__ import annotations

import os
import sys
from datetime import UTC, datetime
from pathlib import Path


def shelf_path(named: str | None) -> Path:
    """The shelf's file: as named, else by the environment, else in the user's data folder."""
    name = named or os.environ.get("REELTURN_SHELF")
    if name:
        return Path(name).expanduser()
    import platformdirs

    return Path(platformdirs.user_data_dir("reelturn", appauthor=False)) / "shelf.json"


def now() -> datetime:
    """This moment; the edge is the only place that asks for it."""
    return datetime.now(UTC)


def on_terminal() -> bool:
    """True where a person sits at both ends."""
    return sys.stdin is not None and sys.stdin.isatty() and sys.stdout.isatty()
