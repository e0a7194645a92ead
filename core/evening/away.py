"""Nobody watched for some minutes, as in a power failure: what the tape and the chamber did meanwhile."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Literal

from core.errors import Refused
from core.evening.playing.passes import stop_pass
from core.evening.warming.load_broken import break_off, go_on
from core.logbook.passes import Piece, played
from core.logbook.typed import with_entry
from core.shelf import Shelf

#: The tape ran on; it stopped and stands; it stopped and runs again since somebody is back.
Ran = Literal["ran on", "stands", "runs again"]


def was_away(
    shelf: Shelf, key: str, left: datetime, back: datetime, ran: Ran, place: float | None = None
) -> Shelf:
    """The shelf with what the tape of that running pass did from ``left`` to ``back``.

    All later places on it follow: they are counted from the pieces that are kept. ``place`` is where it
    stopped, where that is known better than by the clock.
    """
    if back < left:
        raise Refused("back before leaving")
    found = played(shelf).get(key)
    if found is None or found.state != "running":
        raise Refused(f"pass {key} is not running")
    if left < found.last.started:
        raise Refused(f"pass {key} had not begun then")
    if ran == "ran on":
        return shelf
    stands = stop_pass(shelf, key, left, "power", place)
    if ran == "stands":
        return stands
    kept = played(stands)[key]
    again = kept.with_piece(Piece(kept.position_at(back), back))
    return with_entry(stands, key, replace(again, state="running"))


def without_heat(shelf: Shelf, load: str, left: datetime, back: datetime, why: str = "power") -> Shelf:
    """The shelf with that load off from ``left`` to ``back``, and on again: its hours count on from there.

    Refused where it had cooled by then: it gets its whole hours, as a new load.
    """
    return go_on(break_off(shelf, load, left, why), load, back)
