"""Which tapes move now: passes, first hearings, and the reels with which decks are being lined up."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from core.logbook.passes import played
from core.logbook.steps import taken
from core.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Running:
    """Since when a tape moves, and on which deck; empty where that is not kept."""

    since: datetime
    deck: str = ""


def running(shelf: Shelf) -> dict[str, Running]:
    """By reel, every tape that moves now."""
    found: dict[str, Running] = {}
    steps = [taken(shelf)[key] for key in _that_run(shelf, "actual")]
    for step in steps:
        reel = step.calibration if step.kind == "align" else step.subject
        deck = step.subject if step.kind == "align" else step.deck
        if reel and step.kind in ("align", "audition") and step.started is not None:
            found[reel] = Running(step.started, deck)
    for key in _that_run(shelf, "pass"):
        tape = played(shelf)[key]
        mine = (step for step in steps if step.kind == "transfer" and step.subject == tape.reel)
        if not tape.void:
            found[tape.reel] = Running(tape.last.started, next((step.deck for step in mine), ""))
    return found


def _that_run(shelf: Shelf, kind: str) -> list[str]:
    """Keys of that kind's records that run: looked at raw, since a shelf has thousands that are over."""
    return [key for key, record in shelf.of_kind(kind).items() if record.get("state") == "running"]
