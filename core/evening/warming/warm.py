"""Chambers that are warm at a moment, and until when somebody must be home because of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from core.clock import evening_of, later
from core.conditioning.loads.kept_loads import loads_of, running_load
from core.conditioning.loads.trial import EmptyRun
from core.plan import Item, Plan
from core.shelf import Shelf
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Warm:
    """One load that runs: its chamber, and the end of its last touch; None where its hours are not known."""

    chamber: str
    until: datetime | None


def warm_at(shelf: Shelf, plan: Plan | None, at: datetime) -> tuple[Warm, ...]:
    """The loads that run at that moment: those of the shelf, else those that the plan has begun by then.

    Somebody is home and awake from a load's start to the end of its last touch. Without a plan nothing is
    taken for done: what is overdue is warm still.
    """
    real = {
        one.chamber: one for one in _real(shelf, at) if plan is None or one.until is None or at < one.until
    }
    planned = {
        item.chamber: Warm(item.chamber, until_of(item))
        for item in (plan.items if plan is not None else ())
        if item.kind == "condition" and item.start <= at < until_of(item)
    }
    return tuple({**planned, **real}.values())


def empty_runs_tonight(shelf: Shelf, at: datetime) -> tuple[tuple[str, datetime], ...]:
    """The chambers whose empty run began this evening, and when: nobody tells its end, so all are warm."""
    newest = {log.chamber: log for log in loads_of(shelf).values()}
    zone = shelf.studio.zone
    day = evening_of(at.astimezone(zone))
    tonight = (one for one in newest.values() if one.trial and one.at <= at)
    return tuple((one.chamber, one.at) for one in tonight if evening_of(one.at.astimezone(zone)) == day)


def warm_beside(
    shelf: Shelf, plan: Plan | None, start: datetime, end: datetime, empty: Iterable[EmptyRun]
) -> str:
    """What hands that repair a tape must not do then, since a chamber is warm; empty where none is.

    The vapour of lighter fuel creeps to anything hot or switching (the caution of repairs says the same).
    ``empty`` are the empty runs that are planned; one that has begun this evening is known to the shelf.
    """
    both = (*warm_at(shelf, plan, start), *warm_at(shelf, plan, end))
    loads = plan.items if plan is not None else ()
    begun = [one.chamber for one in loads if one.kind == "condition" and start <= one.start < end]
    runs = [chamber for chamber, since in empty_runs_tonight(shelf, end) if since < end]
    due = [one.chamber for one in empty if one.start and one.end and one.start < end and start < one.end]
    warm = list(dict.fromkeys([*(one.chamber for one in both), *begun, *runs, *due]))
    if not warm:
        return ""
    names = " and ".join(warm)
    return (
        f"{names} {'is' if len(warm) == 1 else 'are'} warm: work dry, no lighter fuel or alcohol in that room"
    )


def until_of(load: Item) -> datetime:
    """The end of a planned load's last touch."""
    return max((touch.end for touch in load.touches), default=load.end)


def _real(shelf: Shelf, at: datetime) -> Iterator[Warm]:
    """The loads of the shelf that began by then: one that was told ahead of its time warms nothing yet."""
    logs = loads_of(shelf)
    for chamber in shelf.studio.chambers:
        key = running_load(shelf, chamber.id)
        log = logs.get(key) if key is not None else None
        if log is None or log.at > at:
            continue
        outs = [log.planned_out(one) for one in log.members if one.out is None]
        known = [later(out, minutes=chamber.touch_minutes) for out in outs if out is not None]
        yield Warm(chamber.id, max(known) if known and len(known) == len(outs) else None)
