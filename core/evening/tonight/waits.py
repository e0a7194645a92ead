"""Steps whose being over is told by something else: the clock, or a look or a mark outside the run sheet."""

from __future__ import annotations

from datetime import datetime

from core.clock import evening_of
from core.evening.tonight.runsheet import done_elsewhere, item_step, run_sheet
from core.evening.tonight.steps import over_without_a_start
from core.logbook.steps import taken
from core.plan import Item, Plan
from core.shelf import Shelf


def waits_still(shelf: Shelf, item: Item, now: datetime) -> bool:
    """True for work of this evening whose time is over, and that was neither done nor left out."""
    over = item.end <= now and evening_of(item.start) == evening_of(now)
    if not over or item.kind in ("align", "condition"):
        return False
    step = item_step(item)
    told = taken(shelf).get(step.key)
    return (told is None or told.state == "running") and not done_elsewhere(step, shelf)


def look_is_over(before: Shelf, after: Shelf, plan: Plan | None, key: str, at: datetime) -> Shelf:
    """``after`` with the evening's open step for looking at that reel over at that moment, if any.

    ``before`` is the shelf before the look. When it began is not told, unless the step runs.
    """
    return _is_over(before, after, plan, ("identify", key), at)


def verify_is_over(before: Shelf, after: Shelf, plan: Plan | None, key: str, at: datetime) -> Shelf:
    """The same of its verify, where the reel was marked verified elsewhere than by its step."""
    there = after.reels.get(key)
    over = there is not None and there.past("verified") and not before.reel(key).past("verified")
    return _is_over(before, after, plan, ("verify", key), at) if over else after


def _is_over(before: Shelf, after: Shelf, plan: Plan | None, what: tuple[str, str], at: datetime) -> Shelf:
    sheet = run_sheet(before, plan, at.astimezone(before.studio.zone))
    for step in sheet.steps:
        if (step.kind, step.subject) == what and step.state in ("waiting", "running", "skipped"):
            return over_without_a_start(after, step, at)
    return after
