"""Planning anew after a mishap: what is under way stays, little moves, and what moves is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from core.plan import Plan
from core.planning.plan_evenings import plan_evenings
from core.planning.wishes.wishes import Wishes
from core.shelf import Shelf


def replan(
    shelf: Shelf,
    kept: Plan,
    start: datetime,
    *,
    days: int | None = None,
    seconds: float = 1.0,
    effort: float | None = None,
    stop: Callable[[], bool] | None = None,
    wishes: Wishes | None = None,
) -> Plan:
    """The kept plan carried on from ``start`` on the shelf as it is now, to the same end unless told.

    Reels that failed, ran late or are new find a place; an item that still fits moves only
    where it brings more than ``wishes.price``. ``moved`` of the plan says what moved and why.
    """
    left = days if days is not None else max(1, (kept.until.date() - start.date()).days)
    asked = replace(wishes or Wishes(), kept=kept)
    return plan_evenings(shelf, start, left, seconds=seconds, effort=effort, stop=stop, wishes=asked)
