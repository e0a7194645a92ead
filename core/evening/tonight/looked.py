"""A reel that is looked at outside the run sheet: tonight's step for it is over too."""

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
    sheet = run_sheet(before, plan, at.astimezone(before.studio.zone))
    for step in sheet.steps:
        if (step.kind, step.subject) == ("identify", key) and step.state in ("waiting", "running", "skipped"):
            return over_without_a_start(after, step, at)
    return after
