"""Where reels were put when an evening was over, kept under the reel."""

from __future__ import annotations

from dataclasses import field
from datetime import datetime
from typing import ClassVar

from core.as_json import named
from core.logbook.typed import Entries, entries
from core.shelf import Shelf
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class PutAway:
    """When a reel was put back to its place, and where that is."""

    kept_as: ClassVar[str] = "put back"

    reel: str
    at: datetime
    place: str = ""


@dataclass(frozen=True, slots=True)
class LookedAfter:
    """When a reel was looked at, and found clean, for mould that it was near, and for what heat did to it.

    Who looks for mould, with gloves and a mask, sees the other too; not the other way round.
    """

    kept_as: ClassVar[str] = "looked after"

    reel: str
    at: datetime | None = None
    heat: datetime | None = None
    box: tuple[str, ...] = ()
    """Words of its box that its owner answered: they warn no more."""
    notes: int = field(default=0, metadata=named(quiet=True))
    """How many notes it had then; one written since may say the same, and is a new sight."""
    on_passes: int = field(default=0, metadata=named("on passes", quiet=True))
    """The same of the notes with words on its passes."""


def put_away(shelf: Shelf) -> Entries[PutAway]:
    """The newest of every reel, by reel."""
    return entries(shelf, PutAway)
