"""A tape that runs by the shelf since an earlier evening: nobody told what became of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from core.clock import evening_of
from core.errors import Refused
from core.evening.tonight.runsheet import evening_span, run_sheet
from core.evening.tonight.transfer import press
from core.logbook.passes import pass_key, played
from core.logbook.typed import with_entry
from core.shelf import Shelf
from core.studio.opening import opening
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class LeftRunning:
    """Its reel and the key of its pass; when it began, was to end, and when that evening closed on it.

    ``ends`` is None where its length is not known, ``closed`` where the evening was longer than the tape.
    """

    reel: str
    key: str
    began: datetime
    ends: datetime | None
    closed: datetime | None


def left_running(shelf: Shelf, now: datetime) -> LeftRunning | None:
    """The tape that was left so; None where none runs, or since this evening only."""
    zone = shelf.studio.zone
    for one in played(shelf).values():
        began = one.last.started.astimezone(zone)
        if one.state != "running" or one.void or evening_of(began) >= evening_of(now.astimezone(zone)):
            continue
        ends = one.due.astimezone(zone) if one.due is not None else None
        closed = _closed(shelf, began, ends)
        return LeftRunning(one.reel, pass_key(one.reel, one.number), began, ends, closed)
    return None


def _closed(shelf: Shelf, began: datetime, ends: datetime | None) -> datetime | None:
    """When the bench closed on a tape that was still to run."""
    span = evening_span(evening_of(began), began)
    here = (
        one.end for one in opening(shelf.studio, "bench", span.start, span.end) if one.holds(began, began)
    )
    closes = next(here, None)
    return closes if closes is not None and (ends is None or closes < ends) else None


def ran_out(shelf: Shelf, left: LeftRunning) -> Shelf:
    """The shelf with that tape run to its end when it was reckoned to, and its step done then.

    Nobody took it off its deck: it is asked for there, and put back at the closing look.
    """
    if left.ends is None:
        raise Refused(f"how long {left.reel} plays is not known: tell when it stopped")
    for step in run_sheet(shelf, None, left.began).steps:
        if (step.kind, step.subject, step.state) == ("transfer", left.reel, "running"):
            done = press(shelf, step, left.ends)
            return with_entry(done, left.key, replace(played(done)[left.key], holds="deck"))
    raise Refused(f"no transfer of {left.reel} was begun then: tell when it stopped")


def nobody_was_there(before: Shelf, after: Shelf, now: datetime) -> Shelf:
    """``after`` with each tape lying on its deck still that ran by the log since an earlier evening.

    At whichever door its end is told: nobody took it off, so that it is asked for before its deck is used.
    """
    zone = before.studio.zone
    for key, one in played(before).items():
        began = evening_of(one.last.started.astimezone(zone))
        if one.state != "running" or one.void or began >= evening_of(now.astimezone(zone)):
            continue
        ended = played(after).get(key)
        if ended is not None and ended.state == "done" and ended.holds == "take-up":
            after = with_entry(after, key, replace(ended, holds="deck"))
    return after


def late_end(shelf: Shelf, key: str, at: datetime) -> str | None:
    """That a tape that is told as over, or stopped, at that moment ran out long before; None where not."""
    one = played(shelf).get(key)
    out = one.ran_out(at) if one is not None else None
    if one is None or out is None:
        return None
    then, now = (moment.astimezone(shelf.studio.zone) for moment in (out, at))
    day = "" if evening_of(then) == evening_of(now) else f"{then:%a} "
    return f"{one.reel} ran out at {day}{then:%H:%M} by its length"
