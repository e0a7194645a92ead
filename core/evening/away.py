"""Nobody watched for some minutes, as in a power failure: what the tape and the chamber did meanwhile."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from core.clock import write_time
from core.errors import Refused
from core.evening.load_broken import break_off, go_on
from core.evening.passes import stop_pass
from core.shelf import Shelf
from core.standing.left_to_play import position_at

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
    record = shelf.of_kind("pass").get(key)
    if record is None or record["state"] != "running":
        raise Refused(f"pass {key} is not running")
    if left < datetime.fromisoformat(record["pieces"][-1]["started"]):
        raise Refused(f"pass {key} had not begun then")
    if ran == "ran on":
        return shelf
    stands = stop_pass(shelf, key, left, "power", place)
    if ran == "stands":
        return stands
    kept = stands.of_kind("pass")[key]
    piece = {"from": position_at(kept, back), "started": write_time(back)}
    return stands.with_record("pass", key, {**kept, "state": "running", "pieces": [*kept["pieces"], piece]})


def without_heat(shelf: Shelf, load: str, left: datetime, back: datetime, why: str = "power") -> Shelf:
    """The shelf with that load off from ``left`` to ``back``, and on again: its hours count on from there.

    Refused where it had cooled by then: it gets its whole hours, as a new load.
    """
    return go_on(break_off(shelf, load, left, why), load, back)
