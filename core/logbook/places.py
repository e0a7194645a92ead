"""Where reels were put when an evening was over, kept under the reel."""

from __future__ import annotations

from dataclasses import field
from datetime import datetime
from typing import ClassVar

from core.as_json import named
from core.logbook.typed import Entries, entries
from core.shelf import RecordKind, Shelf
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class PutAway:
    """When a reel was put back to its place, and where that is."""

    kept_as: ClassVar[RecordKind] = "put back"

    reel: str
    at: datetime
    place: str = ""


@dataclass(frozen=True, slots=True)
class LookedAfter:
    """When a reel was looked at, and found clean, for mould that it was near, and for what heat did to it.

    Who looks for mould, with gloves and a mask, sees the other too; not the other way round.
    """

    kept_as: ClassVar[RecordKind] = "looked after"

    reel: str
    at: datetime | None = None
    heat: datetime | None = None
    box: tuple[str, ...] = ()
    """Words of its box that its owner answered: they warn no more."""
    notes: int = field(default=0, metadata=named(quiet=True))
    """How many notes it had then; one written since may say the same, and is a new sight."""
    said: int = field(default=0, metadata=named(quiet=True))
    """The same of what was said of it on passes, at a stop, beside a mark."""


@dataclass(frozen=True, slots=True)
class OneBox:
    """A tape that lay in one box with another, kept under its key, and when the two were told apart."""

    kept_as: ClassVar[RecordKind] = "one box"

    reel: str
    found_in: str
    """The reel whose box it was."""
    at: datetime


def boxmates(shelf: Shelf, key: str) -> dict[str, datetime]:
    """By reel, what lay in one box with that reel, and until when."""
    told = [(one.reel, one.found_in, one.at) for one in entries(shelf, OneBox).values()]
    found: dict[str, datetime] = {}
    open_, seen = [key], {key}
    while open_:
        here = open_.pop()
        for one, other, at in told:
            if here in (one, other):
                mate = other if here == one else one
                found.setdefault(mate, at)
                open_ += [] if mate in seen else [mate]
                seen.add(mate)
    return {mate: at for mate, at in found.items() if mate != key}


def put_away(shelf: Shelf) -> Entries[PutAway]:
    """The newest of every reel, by reel."""
    return entries(shelf, PutAway)
