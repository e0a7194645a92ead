"""How a calendar names a touch of a chamber: the same in every print, whenever its load really began."""

from __future__ import annotations

from datetime import UTC

from core.clock import minutes_between
from core.conditioning.loads.kept_loads import log_now, planned_start
from core.evening.tonight.sheet import Step
from core.shelf import Shelf


def touch_name(shelf: Shelf, step: Step) -> str:
    """The touch by when its load was planned, and by its minutes of warmth, gaps apart."""
    if step.item is None:
        return f"touch {step.subject} {step.planned.start.astimezone(UTC).isoformat()} 0"
    start, at = step.item.start, step.planned.start
    log = log_now(shelf, step.subject, step.item.reels)  # a load that is over stands as it was planned
    warm = log.warm_minutes(at) if log is not None and log.at == start else minutes_between(start, at)
    planned = planned_start(shelf, step.subject, start)
    return f"touch {step.subject} {planned.astimezone(UTC).isoformat()} {int(warm)}"
