"""Everything lies in the plan's days, and items on the grid of the studio's clock.

Kept as well by `facts/timescale.py`, `facts/reading.py: _stretches` (nothing beyond the plan's end),
`facts/problem.py: Window`.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.clock import days_later
from core.planning.rules.case import Case, named, utc


def horizon(case: Case) -> Iterator[str]:
    """Everything lies in [from, until], and items on the grid of the studio's clock."""
    grid = case.shelf.studio.minutes.grid
    days = (case.plan.until.date() - case.plan.start.date()).days
    if utc(days_later(case.plan.start, days)) != case.until:
        yield f"the plan does not end whole days after {case.plan.start}"
    for item in case.plan.items:
        running = item.kind == "condition" and case.running(item)
        if running:
            continue
        if utc(item.start) < case.start or utc(item.end) > case.until or utc(item.end) < utc(item.start):
            yield f"{named(item)} lies outside the plan"
        if any(moment.minute % grid or moment.second for moment in (item.start, item.end)):
            yield f"{named(item)} is off the grid"
        if item.touches and utc(item.touches[-1].end) > case.until:
            yield f"{named(item)} is touched after the plan's end"
