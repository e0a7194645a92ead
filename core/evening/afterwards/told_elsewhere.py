"""A look or a mark made outside the run sheet ends the evening's step for it."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from core.evening.tonight.runsheet import run_sheet
from core.evening.tonight.steps import over_without_a_start
from core.plan import Plan
from core.reels.reel import Stage
from core.shelf import Shelf

_OPEN = ("waiting", "running", "skipped")
#: The stage that a reel is marked with, the step that is over with it, and in which states that is.
_ENDS: tuple[tuple[Stage, str, tuple[str, ...]], ...] = (
    ("verified", "verify", _OPEN),
    ("identified", "identify", ("running",)),
)


def look_is_over(before: Shelf, after: Shelf, plan: Plan | None, key: str, at: datetime) -> Shelf:
    """``after`` with the evening's open step for looking at that reel over at that moment, if any.

    ``before`` is the shelf before the look. When it began is not told, unless the step runs.
    """
    return _is_over(before, after, plan, ("identify", key), at)


def marked_is_over(before: Shelf, after: Shelf, plan: Plan | None, key: str, at: datetime) -> Shelf:
    """The same of its verify, or of the look at it that runs, where the reel was marked so elsewhere.

    A look that waits is not over by the mark alone: what it is to tell may still be missing.
    """
    for stage, kind, states in _ENDS:
        there = after.reels.get(key)
        if there is not None and there.past(stage) and not before.reel(key).past(stage):
            after = _is_over(before, after, plan, (kind, key), at, states)
    return after


def _is_over(
    before: Shelf,
    after: Shelf,
    plan: Plan | None,
    what: tuple[str, str],
    at: datetime,
    states: Collection[str] = _OPEN,
) -> Shelf:
    sheet = run_sheet(before, plan, at.astimezone(before.studio.zone))
    for step in sheet.steps:
        if (step.kind, step.subject) == what and step.state in states:
            return over_without_a_start(after, step, at)
    return after
