"""A look or a mark made outside the run sheet ends the evening's step for it."""

from __future__ import annotations

from datetime import datetime

from core.evening.tonight.runsheet import run_sheet
from core.evening.tonight.steps import over_without_a_start
from core.plan import Plan
from core.shelf import Shelf


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
