"""Which steps of the kept plan a change struck out: said at once, wherever the change was made."""

from __future__ import annotations

from datetime import datetime

from core.as_json import Record
from core.plan import Plan, plan_of
from core.shelf import RecordKind, Shelf
from core.standing.of_plan.still import left_of_plan
from core.standing.of_plan.struck import Struck
from core.words import day_text

_CALLED = {"identify": "look at", "condition": "warm", "align": "line up"}


def struck_since(before: Shelf, after: Shelf, plan: Plan, at: datetime, *, named: int = 4) -> str:
    """The steps of the kept plan that may not be done on ``after`` and might on ``before``, in one line.

    Empty where there are none, or where another plan is kept by now; a plan from which a tape was taken out,
    as by a merge, is no other. ``at`` is the moment of the change, ``named`` how many steps are told by name.
    """
    then, now = (one.of_kind("plan").get("kept") for one in (before, after))
    if _same(before, after):
        return ""
    if then != now:
        if not (then and now and _made(now) == _made(then) and _steps(now) <= _steps(then)):
            return ""
        plan = plan_of(now, after.studio.zone)
    moment = max(plan.start, at).replace(second=0, microsecond=0)
    known = {_of(one) for one in left_of_plan(before, plan, at)[1]}
    new = [one for one in left_of_plan(after, plan, at)[1] if _of(one) not in known]
    told = _told([one for one in new if one.item.end > moment], named)
    return f"struck out of the kept plan: {told}" if told else ""


def _made(kept: Record) -> tuple[object, ...]:
    return tuple(kept.get(name) for name in ("from", "made_at", "number"))


def _steps(kept: Record) -> set[tuple[str, ...]]:
    """Its steps by what is done, when and where, whatever the key of the tape."""
    names = ("kind", "start", "end", "deck", "chamber")
    return {tuple(str(item.get(name, "")) for name in names) for item in kept["items"]}


def _same(before: Shelf, after: Shelf) -> bool:
    """True where nothing was changed that strikes steps: no tape, no row of a stock, no log."""
    kinds: tuple[RecordKind, ...] = ("stock", "load", "deck")
    same = all(before.of_kind(kind) == after.of_kind(kind) for kind in kinds)
    return same and before.reels is after.reels


def _of(one: Struck) -> tuple[str, datetime, str, str]:
    return one.item.kind, one.item.start, one.item.deck or one.item.chamber, one.reel


def _told(new: list[Struck], named: int) -> str:
    """The steps by their reason, the first few by name."""
    by_why: dict[str, list[str]] = {}
    for one in new[:named]:
        by_why.setdefault(one.why, []).append(_step(one))
    told = "; ".join(f"{', '.join(steps)} ({why})" for why, steps in by_why.items())
    more = len(new) - named
    return f"{told}, {more} more" if more > 0 else told


def _step(one: Struck) -> str:
    item = one.item
    subject = item.deck if item.kind == "align" else one.reel
    called = _CALLED.get(item.kind, item.kind)
    return f"{called} {subject} {day_text(item.start.date())} {item.start:%H:%M}"
