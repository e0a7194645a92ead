"""Captures of passes that ran backwards and were turned round, kept under ``REEL pass n``."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from typing import ClassVar

from core.logbook.passes import played_of
from core.logbook.typed import Entries, entries
from core.shelf import RecordKind, Shelf
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class TurnedFile:
    """A file as it was captured, and the one turned round beside it with its SHA-256."""

    source: str
    path: str
    sha256: str


@dataclass(frozen=True, slots=True)
class TurnedRound:
    """The files of one pass, in the order in which a check takes them."""

    kept_as: ClassVar[RecordKind] = "turned"

    reel: str
    number: int
    at: datetime
    files: tuple[TurnedFile, ...]
    turned_over: bool = False


def turned(shelf: Shelf) -> Entries[TurnedRound]:
    """Every pass whose files were turned round, by reel and pass."""
    return entries(shelf, TurnedRound)


def ran_backwards(shelf: Shelf, reel: str) -> tuple[int, ...]:
    """The numbers of that reel's passes that ran backwards and are done."""
    done = (one for one in played_of(shelf, reel) if one.state == "done")
    return tuple(sorted(one.number for one in done if one.backwards))


def still_to_turn(shelf: Shelf, reel: str, number: int, digests: Collection[str]) -> bool:
    """Whether a pass ran backwards and files with these SHA-256 are not those that were turned round."""
    if number not in ran_backwards(shelf, reel):
        return False
    kept = turned(shelf).get(f"{reel} pass {number}")
    made = {one.sha256 for one in kept.files} if kept is not None else set()
    return not made.issuperset(digests) or not digests
