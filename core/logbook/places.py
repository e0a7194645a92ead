"""Where reels were put when an evening was over, kept under the reel."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from core.logbook.typed import Entries, entries
from core.shelf import Shelf


@dataclass(frozen=True, slots=True)
class PutAway:
    """When a reel was put back to its place, and where that is."""

    kept_as: ClassVar[str] = "put back"

    reel: str
    at: datetime
    place: str = ""


@dataclass(frozen=True, slots=True)
class LookedAfter:
    """When a reel was looked at, and found clean, after it ran over a path with mould on it."""

    kept_as: ClassVar[str] = "looked after"

    reel: str
    at: datetime


def put_away(shelf: Shelf) -> Entries[PutAway]:
    """The newest of every reel, by reel."""
    return entries(shelf, PutAway)
