"""A chamber load that ends before its time, by a power cut or since somebody had to leave; and going on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from core.clock import minutes_between
from core.conditioning.advisor import heat_of
from core.conditioning.alarms import not_to_be_in, reads_too_hot
from core.conditioning.box_asked import box_asked
from core.conditioning.loads.chamber_log import ChamberLog, Gap
from core.conditioning.loads.kept_loads import changed_load, load_of, loads_of
from core.conditioning.loads.left_inside import left_inside
from core.conditioning.loads.limits import limits_of
from core.conditioning.on_shelf import log_broken_off
from core.conditioning.spreading.shared_air import mouldy_chamber
from core.errors import Refused
from core.evening.warming.take_out import all_out, taken_out, untreated
from core.reels.reel import Reel
from core.shelf import Shelf


def break_off(shelf: Shelf, load: str, at: datetime, why: str) -> Shelf:
    """The shelf with that load broken off at that moment: nothing of it is warm any more, and all lies there.

    A reel that had its hours by then counts as conditioned; any other waits for warmth as before. Refused
    without a reason, for a load that is over, and for a moment before it began.
    """
    log = _log(shelf, load)
    inside = [reel for reel in shelf.reels.values() if load_of(shelf, reel) == load]
    if log.broken_off is not None or not inside:
        raise Refused(f"the load {load} is over: nothing is in its chamber")
    if at < log.at:
        raise Refused(f"the load {load} had not begun then")
    at = _to_the_minute(at, log.at)
    after = log_broken_off(shelf, load, at, why)
    for reel in inside:
        treated = untreated(shelf, reel, at) is None
        rest = replace(reel, chamber="", loaded_at=None)
        after = after.with_reel(taken_out(shelf, reel, at) if treated else rest)
    return after


def go_on(shelf: Shelf, load: str, at: datetime, because: str = "") -> Shelf:
    """The shelf with a load that was broken off going on: its reels are back, their hours count on.

    Without a reason it asks, as a load does, about what a box or a note warns of.

    What must not be in the heat is to be taken out first: refused while nobody told that it is. Refused too
    where the load has cooled by then, where the chamber is in use or too hot by its newest reading, and where
    no reel may go back.
    """
    log = _log(shelf, load)
    _may_go_on(shelf, load, log, at)
    at = _to_the_minute(at, log.broken_off)
    against = _stay_out(shelf, load, log, at)
    lie = to_come_out(shelf, load, at)
    if lie:
        key, why = next(iter(lie.items()))
        how = f"take it out first, then say so (`chamber {log.chamber} --out {key}`)"
        raise Refused(f"{key} does not go back into chamber {log.chamber}: {why}: {how}")
    back = [reel for reel in _waiting(shelf, log) if reel.key not in against]
    if not back:
        key, why = next(iter(against.items()))
        raise Refused(f"{key} does not go back into chamber {log.chamber}: {why}")
    asked = [f"{reel.key} {look}" for reel in back if (look := box_asked(shelf, reel, warmed=True))]
    if asked and not because.strip():
        raise Refused(f"that load does not go on: {'; '.join(asked)}")
    return _gone_on(shelf, load, log, back, at)


def _may_go_on(shelf: Shelf, load: str, log: ChamberLog, at: datetime) -> None:
    """Refused where that load was not broken off or has cooled, or its chamber is in use or too hot."""
    if log.broken_off is None or log.trial:
        raise Refused(f"the load {load} was not broken off")
    most = limits_of(shelf).resume_minutes
    if not 0 <= minutes_between(log.broken_off, at) <= most:
        raise Refused(f"that load has cooled: after {most:g} min it gets its whole hours, as a new load")
    busy = [reel.key for reel in shelf.reels.values() if reel.chamber == log.chamber]
    if busy:
        raise Refused(f"chamber {log.chamber} holds {', '.join(busy)}")
    hot = reads_too_hot(shelf, log)
    if hot:
        raise Refused(f"{hot}: what is in there comes out, cools and is looked at; go on when it reads less")


def to_come_out(shelf: Shelf, load: str, at: datetime) -> dict[str, str]:
    """By reel, why what lies in that chamber must come out before its load goes on."""
    lying = left_inside(shelf)
    return {
        key: why for key, why in _stay_out(shelf, load, _log(shelf, load), at).items()
        if lying.get(key) == load
    }  # fmt: skip


def on_without(shelf: Shelf, load: str, out: Sequence[str], at: datetime) -> Shelf:
    """The shelf with those reels told to be out of that chamber, and its load going on with the rest."""
    shelf = all_out(shelf, out, at)
    waits = any(one.out is None for one in _log(shelf, load).members)
    return go_on(shelf, load, at) if waits else shelf


def as_they_lay(shelf: Shelf, load: str, at: datetime) -> Shelf:
    """The shelf with a load that stood cold for a while and is warm again: what lay there lies there still.

    What must not be in the heat is an alarm then, as it was before.
    """
    log = _log(shelf, load)
    _may_go_on(shelf, load, log, at)
    return _gone_on(shelf, load, log, _waiting(shelf, log), _to_the_minute(at, log.broken_off))


def told_of_going_on(shelf: Shelf, load: str, at: datetime) -> tuple[str, ...]:
    """What must be known when that load goes on, by the shelf before: mould in its air, and who stays out."""
    log = _log(shelf, load)
    air = mouldy_chamber(shelf, log.chamber)
    out = (f"{key} stays out: {why}" for key, why in _stay_out(shelf, load, log, at).items())
    return (*([air] if air else []), *out)


def _gone_on(shelf: Shelf, load: str, log: ChamberLog, back: Sequence[Reel], at: datetime) -> Shelf:
    assert log.broken_off is not None
    gap = Gap(log.broken_off, at, log.why)
    on = replace(log, broken_off=None, why="", gaps=(*log.gaps, gap))
    keys, off = {reel.key for reel in back}, log.broken_off

    def gone_on(kept: ChamberLog) -> ChamberLog:
        members = (
            one if one.reel in keys or one.out is not None else replace(one, out=off) for one in kept.members
        )
        return replace(kept, broken_off=None, why="", gaps=(*kept.gaps, gap), members=tuple(members))

    after = changed_load(shelf, load, gone_on)
    warm = (_not_warmed(reel) if reel.conditioned_at == off else reel for reel in back)
    return after.with_reel(*(replace(reel, chamber=log.chamber, loaded_at=on.as_if_from) for reel in warm))


def _not_warmed(reel: Reel) -> Reel:
    """The reel without the treatment that it counted as having had when the warmth ended: it goes on."""
    return replace(reel, stage="identified", conditioned_at=None, playable_until=None)


def _to_the_minute(at: datetime, since: datetime | None) -> datetime:
    """That moment as a reel and a plan keep it, without its seconds, and not before what came first."""
    minute = at.replace(second=0, microsecond=0)
    return minute if since is None else max(minute, since)


def _waiting(shelf: Shelf, log: ChamberLog) -> list[Reel]:
    wait = [shelf.reels[one.reel] for one in log.members if one.out is None and one.reel in shelf.reels]
    if not wait:
        raise Refused("every reel of that load had its hours")
    return wait


def _stay_out(shelf: Shelf, load: str, log: ChamberLog, at: datetime) -> dict[str, str]:
    """By reel, why it does not go back: what forbids it, and what would be an alarm as soon as it is in."""
    wait = _waiting(shelf, log)
    against = {reel.key: why for reel in wait if (why := _stays_out(shelf, reel, at))}
    back = [reel for reel in wait if reel.key not in against]
    alarmed = not_to_be_in(_gone_on(shelf, load, log, back, at)) if back else {}
    return against | {reel.key: alarmed[reel.key] for reel in back if reel.key in alarmed}


def _stays_out(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """Why that reel does not go back into the heat; None where it does."""
    why = heat_of(shelf, reel, at).never
    if why is None and _had_its_hours(shelf, reel):
        why = "it had its hours"
    if why is None and reel.past("transferred"):
        why = "it is captured: no more heat"
    return why or (f"in chamber {reel.chamber}" if reel.chamber else None)


def _had_its_hours(shelf: Shelf, reel: Reel) -> bool:
    """True for one that lies in a chamber which is off, and counts as warmed since that moment."""
    lay = left_inside(shelf).get(reel.key)
    return lay is not None and reel.conditioned_at == loads_of(shelf)[lay].broken_off


def _log(shelf: Shelf, load: str) -> ChamberLog:
    log = loads_of(shelf).get(load)
    if log is None:
        raise Refused(f"no load {load!r} on this shelf")
    return log
