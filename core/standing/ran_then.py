"""What the log tells of a step that was to be done then, and is to be done still: it ran, or was left out."""

from __future__ import annotations

from datetime import datetime

from core.clock import clock_text, evening_of
from core.logbook.passes import PlayedPass, played
from core.logbook.steps import taken
from core.shelf import Shelf


def ran_then(shelf: Shelf, kind: str, reel: str, was: datetime) -> str:
    """Why that step of that time is to be done again, by the log; empty where it tells nothing of it."""
    zone, tape = shelf.studio.zone, shelf.reels.get(reel)
    if kind in ("transfer", "verify") and tape is not None and not tape.past("transferred"):
        day = evening_of(was.astimezone(zone))
        mine = [one for one in played(shelf).values() if one.reel == reel and not one.alone]
        then = [one for one in mine if evening_of(one.pieces[0].started.astimezone(zone)) == day]
        if then:
            return _became(max(then, key=lambda one: one.last.started))
    return left_out_then(shelf, kind, reel, was)


def left_out_then(shelf: Shelf, kind: str, reel: str, was: datetime) -> str:
    """Why somebody left that step of that time out; empty for one that was not."""
    steps = (one for one in taken(shelf).values() if one.state == "skipped" and one.planned[0] == was)
    why = next((one.because for one in steps if (one.kind, one.subject) == (kind, reel)), "")
    return f"it was left out then: {why}" if why and not why.startswith("not done") else ""


def _became(one: PlayedPass) -> str:
    """What became of a pass that is not all of its tape."""
    if one.void:
        return f"it ran then, to be played again: {one.void}"
    if one.again is not None:
        return f"it is to be played again from {clock_text(int(one.again))}"
    if one.state == "done":
        return f"pass {one.number} ran then, and the rest is still to be played"
    why = f" ({one.last.why})" if one.last.why not in ("", "stopped") else ""
    return f"it was stopped at {clock_text(int(one.last.to or 0.0))} then{why}"
