"""What a plan moves against the one before it, told in sentences; the looks that fill free time in one."""

from __future__ import annotations

from datetime import datetime

from core.logbook.steps import taken
from core.plan import REACHES, Kind, Plan
from core.reels.needs import needs_repair
from core.shelf import Shelf
from core.words import listed
from tui.board.evenings import day_clock


def what_moved(kept: Plan, new: Plan, shelf: Shelf) -> list[str]:
    """How the new plan differs from the kept one, step by step, in words; what is done has not moved."""

    def by_work(plan: Plan) -> dict[tuple[Kind, str], datetime]:
        found: dict[tuple[Kind, str], datetime] = {}
        for item in plan.items:
            for reel in item.reels:
                found.setdefault((item.kind, reel), item.start)
        return found

    before, after = by_work(kept), by_work(new)
    out = []
    for kind, reel in dict.fromkeys([*before, *after]):
        then, now = before.get((kind, reel)), after.get((kind, reel))
        if then == now or (now is None and _done(shelf, kind, reel, then)):
            continue
        name = f"{kind} {reel}"
        if then is None and now is not None:
            out.append(f"{name}: new, {day_clock(now)}")
        elif now is None and then is not None:
            out.append(f"{name}: was {day_clock(then)}, not planned any more")
        elif then is not None and now is not None:
            out.append(f"{name}: {day_clock(then)} -> {day_clock(now)}")
    return out


def looks_moved(kept: Plan, new: Plan) -> str:
    """Looks that fill what time is left, and are at another time now, in one sentence; empty without any."""

    def at(plan: Plan) -> dict[str, datetime]:
        return {item.reel: item.start for item in plan.items if item.kind == "identify"}

    before, after = at(kept), at(new)
    told = {move.reel for move in new.moves if move.kind == "identify"}
    others = [reel for reel, start in after.items() if reel not in told and before.get(reel, start) != start]
    first = min((after[reel] for reel in others), default=None)
    return f"looks that fill free time: {listed(others)}, from {day_clock(first)} on" if first else ""


def _done(shelf: Shelf, kind: Kind, key: str, then: datetime | None) -> bool:
    """True where the shelf says that such a step on that reel is done, or runs, or the log that it was then.

    A look that finds what bars a tape leaves its stage as it was.
    """
    reel = shelf.reels.get(key)
    if reel is None:
        return False
    if kind == "repair":
        return not needs_repair(reel)
    if kind == "audition":
        return reel.heard is not None
    if kind == "identify" and any(
        (one.kind, one.subject, one.state, one.planned[0]) == (kind, key, "done", then)
        for one in taken(shelf).values()
    ):
        return True
    return reel.past(REACHES[kind]) or (kind == "condition" and bool(reel.chamber))
