"""Captures of passes that ran backwards and were turned round, kept under ``REEL pass n``."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from core.logbook.typed import Entries, entries
from core.shelf import Shelf


@dataclass(frozen=True, slots=True)
class TurnedFile:
    """A file as it was captured, and the one turned round beside it with its SHA-256."""

    source: str
    path: str
    sha256: str


@dataclass(frozen=True, slots=True)
class TurnedRound:
    """The files of one pass, in the order in which a check takes them."""

    kept_as: ClassVar[str] = "turned"

    reel: str
    number: int
    at: datetime
    files: tuple[TurnedFile, ...]
    turned_over: bool = False


def turned(shelf: Shelf) -> Entries[TurnedRound]:
    """Every pass whose files were turned round, by reel and pass."""
    return entries(shelf, TurnedRound)
