"""Which note the next digit names: one dropped a moment ago without a kind, on the tape that plays."""

from __future__ import annotations

from datetime import datetime

from core.clock import minutes_between
from core.evening.playing.passes import running_pass
from core.logbook.passes import noted, pass_key, played
from core.shelf import Shelf

#: So long after a note without a kind a digit names it; later it drops a note of its own.
NAMED_WITHIN_MINUTES = 2


def waits_for_kind(shelf: Shelf, key: str, now: datetime) -> bool:
    """Whether the next digit names that note: it was dropped a moment ago, on a tape that is not over.

    Later a digit means what is heard then, and on another tape it means that tape.
    """
    note = noted(shelf).get(key)
    if note is None or minutes_between(note.at, now) > NAMED_WITHIN_MINUTES:
        return False
    running = running_pass(shelf, now)
    if running is not None:
        return (running.reel, running.number) == (note.reel, note.number)
    mine = played(shelf).get(pass_key(note.reel, note.number))
    return mine is not None and mine.state == "stopped"
