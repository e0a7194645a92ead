"""Loads that began while a plan was searched for."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from core.clock import minutes_between
from core.conditioning.hours_had import too_early
from core.tape.where import figure

if TYPE_CHECKING:
    from core.plan import Item, Plan
    from core.shelf import Shelf


def loaded_meanwhile(shelf: Shelf, plan: Plan, at: datetime) -> str | None:
    """Which load began during the search and is in the way of one of the plan's; None for none."""
    loads = [item for item in plan.items if item.kind == "condition"]
    told = {
        key for item in loads for key in item.reels if item.start < plan.start or _is_in(shelf, item, key)
    }
    inside = {
        reel.key: reel.chamber
        for reel in shelf.reels.values()
        if reel.chamber and reel.key not in told and too_early(shelf, reel, at)
    }
    for item in loads if inside else ():
        if item.start >= plan.start:
            for key in (one for one in item.reels if one in inside):
                return f"{key} went into chamber {inside[key]}"
            if item.chamber in inside.values():
                return f"chamber {item.chamber} was loaded"
    return None


def _is_in(shelf: Shelf, item: Item, key: str) -> bool:
    """True for a reel that went in as that load has it, by the minutes that a load may be off its plan."""
    reel = shelf.reels.get(key)
    if reel is None or reel.chamber != item.chamber or reel.loaded_at is None:
        return False
    return bool(abs(minutes_between(item.start, reel.loaded_at)) <= figure("plan.load_moved_minutes"))
