"""Work of minutes that would be over within the minute in which it began: a key that was pressed twice."""

from __future__ import annotations

from datetime import datetime
from itertools import islice

from core.evening.tonight.sheet import Step
from core.reels.reel import STAGES, Stage
from core.shelf import Shelf

#: Stages that nobody reaches within a minute of the one before.
_TAKE_MINUTES = ("transferred", "verified")
_LATEST = 30


def hardly_begun(step: Step, at: datetime) -> str | None:
    """A sentence where work of minutes would end within the minute in which it began; None otherwise."""
    planned = int(step.planned.minutes) if step.kind in ("align", "repair", "verify") else 0
    if step.started is None or planned < 2 or (at - step.started).total_seconds() >= 60:
        return None
    return f"It began at {step.started:%H:%M}, less than a minute ago, and is planned for {planned} min."


def hardly_there(shelf: Shelf, key: str, stage: Stage, at: datetime) -> str | None:
    """A sentence where a reel would reach that stage within a minute of the one before; None otherwise."""
    reel = shelf.reel(key)
    for event in islice(reversed(shelf.history), _LATEST) if stage in _TAKE_MINUTES else ():
        if (event.kind, event.key, event.field, event.new) != ("reel", key, "stage", reel.stage):
            continue
        further = event.old not in STAGES or STAGES.index(event.old) < STAGES.index(reel.stage)
        if further and 0 <= (at - event.at).total_seconds() < 60:
            when = event.at.astimezone(shelf.studio.zone)
            return f"It was marked {reel.stage} at {when:%H:%M}, less than a minute ago."
    return None
