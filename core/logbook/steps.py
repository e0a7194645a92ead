"""What steps of an evening really took, kept under kind, subject and planned start; and how decks stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import datetime
from typing import ClassVar, Literal

from core.as_json import named
from core.logbook.typed import Entries, entries
from core.plan import StepKind
from core.shelf import RecordKind, Shelf
from core.values import dataclass

TakenState = Literal["running", "done", "skipped"]


@dataclass(frozen=True, slots=True)
class StepTaken:
    """A step that was begun, done or left out, with what of the planned item it takes to finish it later."""

    kept_as: ClassVar[RecordKind] = "actual"

    kind: StepKind = field(metadata=named(as_told=True))
    subject: str
    planned: tuple[datetime, datetime]
    state: TakenState
    reels: tuple[str, ...] = ()
    started: datetime | None = None
    finished: datetime | None = None
    because: str = ""
    joints: int = 0
    setup: Mapping[str, str] | None = None
    full: bool = False
    calibration: str = ""
    by: str = ""
    deck: str = ""
    passes: int = 0
    segment: str = ""
    not_tonight: bool = field(default=False, metadata=named("not tonight"))
    unseen: bool = False
    """True for a tape that was begun, for a reason, though nobody had looked at it."""


@dataclass(frozen=True, slots=True)
class DeckStands:
    """The set-up on which a deck stands since its last line-up, kept under the deck."""

    kept_as: ClassVar[RecordKind] = "deck"

    at: datetime
    setup_key: tuple[str, ...]
    setup: str = ""


@dataclass(frozen=True, slots=True)
class DeckPath:
    """When a deck's path was wiped last after a tape that left something on it, kept under the deck.

    ``since``, ``reel``, ``why`` and ``wipe`` are of a tape that is not on the shelf any more: what it left.
    """

    kept_as: ClassVar[RecordKind] = "path"

    at: datetime | None = None
    since: datetime | None = None
    reel: str = ""
    why: str = ""
    wipe: str = ""
    wipes: tuple[datetime, ...] = ()
    """Every time at which it was wiped, the last among them."""


def taken(shelf: Shelf) -> Entries[StepTaken]:
    """Every step that was begun, done or left out, by key."""
    return entries(shelf, StepTaken)


def slowly_wound(shelf: Shelf, reel: str, state: TakenState = "done") -> bool:
    """Whether a slow wind of that tape was done, or runs; looked at raw, since a shelf has thousands."""
    raw = shelf.of_kind("actual").values()
    return any(
        (one.get("kind"), one.get("subject"), one.get("state")) == ("wind", reel, state) for one in raw
    )


def deck_stands(shelf: Shelf) -> Entries[DeckStands]:
    """How each deck stands, by deck."""
    return entries(shelf, DeckStands)
