"""The plan as its loads really run: one that went in later or earlier has all its moments so much later.

So have those behind a time without warmth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from core.clock import later, minutes_between
from core.conditioning.advisor import advisor
from core.conditioning.loads.began_with import turned_as_begun
from core.conditioning.loads.chamber_log import ChamberLog
from core.conditioning.loads.kept_loads import log_now
from core.conditioning.loads.not_turned import turned_before
from core.plan import Item, Member, Plan, Touch
from core.shelf import Shelf
from core.words import day_text, hours_text


def as_begun(shelf: Shelf, plan: Plan) -> Plan:
    """The plan with the turns, take-outs and cooling of each load that runs counted from its true start.

    Nothing else moves: that is for a new plan to do. A plan whose loads run as planned comes back as it is.
    """
    items = tuple(_begun(shelf, item) if item.kind == "condition" else item for item in plan.items)
    return plan if items == plan.items else replace(plan, items=items)


def planned_load(plan: Plan | None, chamber: str, reels: Sequence[str], at: datetime) -> datetime | None:
    """When that plan has a load of that chamber with one of those reels, the nearest to then; else None."""
    loads = [item for item in plan.items if item.chamber == chamber] if plan is not None else []
    starts = [item.start for item in loads if item.kind == "condition" and {*item.reels} & {*reels}]
    return min(starts, key=lambda start: abs(minutes_between(start, at)), default=None)


def not_before(shelf: Shelf, plan: Plan, item: Item) -> str:
    """``not before 17:05, it cools``: a planned step whose tape comes out later than was planned; empty else.

    So is a load whose chamber another one holds then. ``plan`` is as its loads really run.
    """
    if item.kind == "condition":
        return full_until(shelf, item)
    key = item.calibration if item.kind == "align" else item.reel
    reel = shelf.reels.get(key)
    if reel is None or item.kind in ("identify", "verify", "condition"):
        return ""
    if reel.chamber:
        loads = (one for one in plan.items if one.chamber == reel.chamber and one.start < item.start)
        ends = [member.cool_until for load in loads for member in load.members if member.reel == key]
    else:
        cools = advisor(shelf).cools_until(reel, item.start)
        ends = [cools.astimezone(item.start.tzinfo)] if cools is not None else []
    until = max((end.replace(second=0, microsecond=0) for end in ends), default=item.start)
    if until <= item.start:
        return ""
    day = f"{day_text(until.date())} " if until.date() != item.start.date() else ""
    return f"not before {day}{until:%H:%M}, it cools"


def at_its_time(shelf: Shelf, plan: Plan, item: Item, at: datetime) -> str:
    """The same of a step of that item which is planned for then.

    A turn or a take-out of a load that waits for its chamber counts from when that goes in, not by the clock.
    """
    late = not_before(shelf, plan, item)
    if not late or item.kind != "condition" or at <= item.start:
        return late
    after = hours_text(minutes_between(item.start, at))
    return f"not by the clock: {after} after its load went in, which is {late}"


def full_until(shelf: Shelf, load: Item) -> str:
    """``not before 17:26, C1 is full till then``: a planned load while another lies there; else empty."""
    inside = [reel.key for reel in shelf.reels.values() if reel.chamber == load.chamber]
    log = log_now(shelf, load.chamber, inside)
    if log is None or any(key in load.reels for key in inside):
        return ""
    there = (one for one in log.members if one.reel in inside)
    ends = [end.astimezone(load.start.tzinfo) for one in there if (end := log.planned_out(one)) is not None]
    until = max((end.replace(second=0, microsecond=0) for end in ends), default=load.start)
    if until <= load.start:
        return ""
    day = f"{day_text(until.date())} " if until.date() != load.start.date() else ""
    return f"not before {day}{until:%H:%M}, {load.chamber} is full till then"


def _begun(shelf: Shelf, load: Item) -> Item:
    log = log_now(shelf, load.chamber, load.reels)
    if log is None:
        return load
    moved = load if log.at == load.start and not log.gaps else _moved(load, log)
    moved = _turned_without(
        shelf, replace(moved, members=tuple(_as_out(one, log) for one in moved.members)), log
    )
    return _not_turned_again(shelf, moved, log) if log.turns else moved


def _not_turned_again(shelf: Shelf, load: Item, log: ChamberLog) -> Item:
    """The load without a turn so soon behind one that was made late that nobody makes it."""
    chamber = shelf.studio.chamber(load.chamber)
    every = turned_as_begun(chamber, log).turn_every.number if chamber is not None else Fraction(0)
    stay = tuple(
        one for one in load.touches
        if one.do != "turn" or any(at >= one.start for at in log.turns)
        or turned_before(log, one.start, every) is None
    )  # fmt: skip
    return load if len(stay) == len(load.touches) else replace(load, touches=stay)


def _as_out(member: Member, log: ChamberLog) -> Member:
    """The reel of that load as it cools since it came out, where it did."""
    told = log.member(member.reel)
    if told is None or told.out is None:
        return member
    cools = log.cools(told, told.out, minutes_between(member.out, member.cool_until) / 60)
    keeps = minutes_between(member.out, member.playable_until)
    return replace(member, cool_until=cools, playable_until=later(told.out, minutes=keeps))


def _turned_without(shelf: Shelf, load: Item, log: ChamberLog) -> Item:
    """The load with a turn for a take-out of what came out too early, where those that stay are turned."""
    chamber = shelf.studio.chamber(load.chamber)
    every = turned_as_begun(chamber, log).turn_every.number if chamber is not None else Fraction(0)
    inside = {one.reel for one in log.members if one.out is None}
    early = {one.reel for one in log.members if one.out is not None and log.too_short(one)}
    last = max((one.out for one in load.members if one.reel in inside), default=load.start)

    def turned(touch: Touch) -> Touch:
        due = [one for one in load.members if one.out == touch.start]
        warm = log.warm_minutes(touch.start) / 60
        on_time = every > 0 and abs(warm - every * round(warm / every)) <= Fraction(1, 60)
        gone = bool(due) and all(one.reel in early for one in due)
        turns = touch.do == "take out" and gone and on_time and touch.start < last
        return replace(touch, do="turn") if turns else touch

    touches = tuple(turned(one) for one in load.touches)
    return load if touches == load.touches else replace(load, touches=touches)


def _moved(load: Item, log: ChamberLog) -> Item:

    def moved(moment: datetime) -> datetime:
        return log.after(minutes_between(load.start, moment) / 60)

    return replace(
        load,
        start=moved(load.start),
        end=moved(load.end),
        members=tuple(
            replace(
                one,
                out=moved(one.out),
                cool_until=moved(one.cool_until),
                playable_until=moved(one.playable_until),
            )
            for one in load.members
        ),
        touches=tuple(replace(one, start=moved(one.start), end=moved(one.end)) for one in load.touches),
    )
