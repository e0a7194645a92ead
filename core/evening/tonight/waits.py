"""What of this evening still waits though its planned time is over."""

from __future__ import annotations

from datetime import datetime

from core.clock import evening_of
from core.evening.tonight.runsheet import done_elsewhere, item_step
from core.logbook.steps import taken
from core.plan import Item
from core.shelf import Shelf


def waits_still(shelf: Shelf, item: Item, now: datetime) -> bool:
    """True for work of this evening whose time is over, and that was neither done nor left out."""
    over = item.end <= now and evening_of(item.start) == evening_of(now)
    if not over or item.kind in ("align", "condition"):
        return False
    step = item_step(item)
    told = taken(shelf).get(step.key)
    return (told is None or told.state == "running") and not done_elsewhere(step, shelf)
