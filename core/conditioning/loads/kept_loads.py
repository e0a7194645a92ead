"""The chamber loads that a shelf tells of: those with a log, and those that its reels alone speak of."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import datetime

from core.clock import write_time
from core.conditioning.loads.chamber_log import OWN_KEYS, ChamberLog, Member, from_record, in_zone, to_record
from core.errors import Refused
from core.reels.reel import Reel
from core.remembered import once_a_shelf
from core.shelf import Shelf

#: Under this a load's record keeps when it was planned, where it began at another moment.
PLANNED = "planned"


@once_a_shelf
def loads_of(shelf: Shelf) -> Mapping[str, ChamberLog]:
    """Every chamber load, by its key, oldest first.

    A reel that is in a chamber without any log (it was imported so) has a load all the same, begun when the
    reel says. What a log leaves out is filled from the shelf: set point and hours by the treatment of the
    reel's width, the take-out of the newest load by the reel itself. A record that is no load is passed over.
    """
    found = _kept(shelf)
    for reel in shelf.reels.values():
        if reel.chamber and reel.loaded_at is not None:
            key = _key_of(found, reel) or load_key(reel.chamber, reel.loaded_at)
            log = found.get(key) or ChamberLog(reel.chamber, reel.loaded_at)
            if log.member(reel.key) is None:
                log = replace(log, members=(*log.members, Member(reel.key)))
            found[key] = log
    ordered = dict(sorted(found.items(), key=lambda one: one[1].at))
    newest = {member.reel: key for key, log in ordered.items() for member in log.members}
    return {
        key: _filled(shelf, log, {r for r, k in newest.items() if k == key}) for key, log in ordered.items()
    }


def load_key(chamber: str, at: datetime) -> str:
    """How a load is named: its chamber and its start."""
    return f"{chamber} {write_time(at)}"


def load_of(shelf: Shelf, reel: Reel) -> str | None:
    """The key of the load in which that reel is now; None for a reel that is in no chamber."""
    if not reel.chamber or reel.loaded_at is None:
        return None
    return _key_of(_kept(shelf), reel) or load_key(reel.chamber, reel.loaded_at)


def running_load(shelf: Shelf, chamber: str) -> str | None:
    """The key of the load that runs in that chamber; None while it holds no reel."""
    inside = [reel for reel in shelf.reels.values() if reel.chamber == chamber and reel.loaded_at is not None]
    first = min(inside, key=lambda reel: reel.loaded_at or datetime.max, default=None)
    return load_of(shelf, first) if first is not None else None


def log_now(shelf: Shelf, chamber: str, reels: Iterable[str]) -> ChamberLog | None:
    """The log of the load that runs in that chamber with one of those reels; None where none does."""
    for key in reels:
        reel = shelf.reels.get(key)
        load = load_of(shelf, reel) if reel is not None and reel.chamber == chamber else None
        log = loads_of(shelf).get(load) if load is not None else None
        if log is not None:
            return log
    return None


def real_start(shelf: Shelf, chamber: str, reels: Iterable[str], planned: datetime) -> datetime:
    """When a load really began that a plan has at ``planned``: by its log, where one of its reels is in.

    A log keeps the true moment; what a reel says of its load counts times without warmth in.
    """
    log = log_now(shelf, chamber, reels)
    return log.at if log is not None else planned


def planned_start(shelf: Shelf, chamber: str, start: datetime) -> datetime:
    """When a plan first had the load that began, or was told to begin, then; that moment if nothing tells."""
    for key, log in loads_of(shelf).items():
        if log.chamber == chamber and (log.at == start or key == load_key(chamber, start)):
            kept = shelf.of_kind("load").get(key, {}).get(PLANNED)
            return datetime.fromisoformat(kept) if isinstance(kept, str) else start
    return start


def changed_load(shelf: Shelf, load: str, change: Callable[[ChamberLog], ChamberLog]) -> Shelf:
    """The shelf with that load's log changed, begun where there was none; Refused where there is no load.

    What is over keeps the hours and the set point that it was to have, and how long it cools, whatever the
    studio is told later.
    """
    record, log = _record(shelf, load)
    rest = {key: value for key, value in record.items() if key not in OWN_KEYS}
    return shelf.with_record("load", load, {**rest, **to_record(_as_asked(shelf, load, change(log)))})


def _as_asked(shelf: Shelf, load: str, log: ChamberLog) -> ChamberLog:
    over = [one.reel for one in log.members if one.out is not None or log.broken_off is not None]
    asked = loads_of(shelf).get(load) if over else None
    if asked is None:
        return log
    was = {one.reel: one for one in asked.members if one.reel in over}
    members = tuple(_kept_by(was.get(one.reel), one) for one in log.members)
    celsius = asked.celsius if log.celsius is None else log.celsius
    return replace(log, members=members, celsius=celsius)


def _kept_by(was: Member | None, one: Member) -> Member:
    if was is None:
        return one
    return replace(one, hours=one.hours or was.hours, cool=was.cool if one.cool is None else one.cool)


def changed_member(shelf: Shelf, load: str, reel: str, change: Callable[[Member], Member]) -> Shelf:
    """The shelf with one reel of that load changed; Refused for a reel that is not in it."""

    def changed(log: ChamberLog) -> ChamberLog:
        if log.member(reel) is None:
            raise Refused(f"{reel} is not in that load")
        return replace(log, members=tuple(change(one) if one.reel == reel else one for one in log.members))

    return changed_load(shelf, load, changed)


def log_out(shelf: Shelf, reel: Reel, at: datetime) -> Shelf:
    """The shelf with that reel's take-out in the log of the load in which it is; as it was, if in none."""
    load = load_of(shelf, reel)
    if load is None:
        return shelf
    return changed_member(shelf, load, reel.key, lambda member: replace(member, out=at))


def _record(shelf: Shelf, load: str) -> tuple[Mapping[str, object], ChamberLog]:
    record = shelf.of_kind("load").get(load)
    inside = [reel for reel in shelf.reels.values() if load_of(shelf, reel) == load]
    if record is None and not inside:
        raise Refused(f"no load {load!r} on this shelf")
    log = from_record(record) if record is not None else ChamberLog(inside[0].chamber, _began(inside))
    missing = (Member(reel.key) for reel in inside if log.member(reel.key) is None)
    return record or {}, replace(log, members=(*log.members, *missing))


def _began(inside: list[Reel]) -> datetime:
    return min(reel.loaded_at for reel in inside if reel.loaded_at is not None)


def _kept(shelf: Shelf) -> dict[str, ChamberLog]:
    found: dict[str, ChamberLog] = {}
    for key, record in shelf.of_kind("load").items():
        try:
            found[key] = in_zone(from_record(record), shelf.studio.zone)
        except (KeyError, TypeError, ValueError, AttributeError):
            continue
    return found


def _key_of(kept: Mapping[str, ChamberLog], reel: Reel) -> str | None:
    """The log that a reel's own words fit: its chamber, and its start, times without warmth apart.

    A log may know the second, a reel keeps whole minutes.
    """
    fitting = (
        key
        for key, log in kept.items()
        if log.chamber == reel.chamber
        and not log.trial
        and _minute(log.as_if_from) == _minute(reel.loaded_at)
    )
    return next(fitting, None)


def _minute(moment: datetime | None) -> datetime | None:
    return None if moment is None else moment.replace(second=0, microsecond=0)


def _filled(shelf: Shelf, log: ChamberLog, newest_here: set[str]) -> ChamberLog:
    members = []
    celsius = log.celsius
    for member in log.members:
        reel = shelf.reels.get(member.reel)
        treatment = shelf.studio.treatment(reel.width) if reel is not None else None
        hours = member.hours
        own = reel.treatment_hours if reel is not None and member.reel in newest_here else None
        if treatment is not None:
            celsius = float(treatment.temperature.number) if celsius is None else celsius
        told = own or (treatment.hours if treatment is not None else None)
        hours = hours or (told.number if told is not None else None)
        out = member.out or (
            _taken_out(reel, log) if reel is not None and member.reel in newest_here else None
        )
        cools = treatment.cool.number if treatment is not None and member.cool is None else member.cool
        members.append(replace(member, hours=hours, out=out, cool=cools))
    return replace(log, members=tuple(members), celsius=celsius)


def _taken_out(reel: Reel, log: ChamberLog) -> datetime | None:
    at = reel.conditioned_at
    if at is None or reel.chamber or at == log.broken_off:  # at a break it lies there until it is told out
        return None
    return at if at >= log.at else None


def lain_by_word(shelf: Shelf) -> list[tuple[str, datetime, str]]:
    """Chamber, moment and reel of everything that is told afterwards to have lain warm, in no load."""
    return [
        (str(one["chamber"]), datetime.fromisoformat(str(one["at"])), str(key))
        for one in shelf.of_kind("lay").values()
        for key in one["reels"]
    ]
