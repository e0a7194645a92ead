"""Where the reels of a load go at one of its touches: by its log, or by the reels of a new load."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from core.clock import later, minutes_between
from core.conditioning.loads.began_with import log_from, turned_as_begun
from core.conditioning.loads.chamber_log import ChamberLog
from core.conditioning.loads.kept_loads import loads_of, running_load
from core.conditioning.loads.not_turned import not_turned
from core.conditioning.loads.places import Standing, standings
from core.plan import Item, Member
from core.shelf import Shelf


def places_at(
    shelf: Shelf, chamber: str, due: datetime, out: Collection[str] = (), missed: Collection[datetime] = ()
) -> Standing | None:
    """The places before and after that touch of the load that runs; None where it has no such touch.

    ``out`` are the reels that come out with it, also those whose own time is later; ``missed`` the turns that
    were due and nobody logged.
    """
    key = running_load(shelf, chamber)
    log = loads_of(shelf).get(key) if key is not None else None
    if log is None:
        return None
    outs = {one.reel: end for one in log.members if (end := log.planned_out(one)) is not None}
    # What came out since the touch was due is laid anew nowhere, though it lay there at that moment.
    gone = {reel: min(at, later(due, minutes=-1)) for reel, at in _left(log).items() if reel not in out}
    left = dict.fromkeys(out, due) | gone
    found = _standings(shelf, chamber, log.as_if_from, outs, left, log, missed)
    return next((one for one in found if one.at == due), None)


def places_of_item(shelf: Shelf, load: Item) -> tuple[Standing, ...]:
    """Every touch of a load of a plan: by its log where it began then, with all that were laid in it.

    Where the warmth was off on the way the log tells when each touch was, or is.
    """
    chamber = shelf.studio.chamber(load.chamber)
    if chamber is None:
        return ()
    log = log_from(loads_of(shelf).values(), load.chamber, load.start)
    if log is None:
        return standings(load, chamber, shelf.reels)
    start = _minute(log.as_if_from)
    outs = {one.reel: _minute(end) for one in log.members if (end := log.planned_out(one))}
    left = {reel: _as_if(log, out) for reel, out in _left(log).items()}
    found = _standings(shelf, load.chamber, start, outs, left, log)
    return tuple(replace(one, at=_minute(log.after(minutes_between(start, one.at) / 60))) for one in found)


def _as_if(log: ChamberLog, moment: datetime) -> datetime:
    """That moment as it would be if the load had never been off."""
    return later(moment, minutes=sum((gap.minutes for gap in log.gaps if gap.off >= moment), Fraction(0)))


def _left(log: ChamberLog) -> dict[str, datetime]:
    return {one.reel: one.out for one in log.members if one.out is not None}


def _minute(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)


def places_of_load(shelf: Shelf, chamber: str, reels: tuple[str, ...], start: datetime) -> Standing | None:
    """Where the reels of a load go that begins then; None where a treatment is not known."""
    outs = {}
    for key in reels:
        reel = shelf.reels.get(key)
        treatment = shelf.studio.treatment(reel.width) if reel is not None else None
        if reel is not None and treatment is not None:
            outs[key] = later(start, hours=(reel.treatment_hours or treatment.hours).number)
    return next(iter(_standings(shelf, chamber, start, outs)), None) if len(outs) == len(reels) else None


def place_words(standing: Standing) -> str:
    """``R-002 place 3-4 to 1-2, R-001 out``: what is done to each reel, from the bottom up as it ends."""
    stay = sorted(standing.after, key=lambda reel: standing.after[reel].lowest)
    moves = []
    for reel in stay:
        was, now = standing.before.get(reel), standing.after[reel]
        moves.append(
            f"{reel} place {was} to {now}" if was and str(was) != str(now) else f"{reel} place {now}"
        )
    return ", ".join([*(f"{reel} out" for reel in standing.out), *moves])


def _standings(
    shelf: Shelf,
    chamber: str,
    start: datetime,
    outs: Mapping[str, datetime],
    left: Mapping[str, datetime] = {},
    log: ChamberLog | None = None,
    missed: Collection[datetime] = (),
) -> tuple[Standing, ...]:
    one = shelf.studio.chamber(chamber)
    if one is None or not outs:
        return ()
    one = turned_as_begun(one, log)
    members = tuple(Member(reel, out, out, out) for reel, out in outs.items())
    item = Item("condition", start, max(outs.values()), chamber=chamber, members=members)
    if log is not None:
        every = one.turn_every.number
        left_out = (later(start, hours=every * number) for number in not_turned(shelf, log, every))
        missed = {*missed, *left_out}
    return standings(item, one, shelf.reels, left, missed)
