"""A reel comes out of its chamber: treated when its hours are up, and otherwise only for a reason."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from core.clock import later, minutes_between
from core.conditioning.advisor import advice_of
from core.conditioning.alarms import alarm_of
from core.conditioning.hours_had import too_early
from core.conditioning.loads.kept_loads import changed_member, load_of, loads_of, log_out
from core.conditioning.loads.left_inside import left_inside
from core.conditioning.loads.limits import NOT_TREATED
from core.errors import Refused
from core.evening.warming.retimed import without_kept
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.where import figure
from core.words import day_text, hours_text


def taken_out(shelf: Shelf, reel: Reel, at: datetime) -> Reel:
    """The reel as it comes out of the chamber: conditioned, playable by its width's treatment."""
    treatment = shelf.studio.treatment(reel.width)
    until = later(at, hours=treatment.playable_days * 24) if treatment else None
    stage = "conditioned" if not reel.past("transferred") else reel.stage
    out = without_kept(shelf, reel)
    return replace(out, stage=stage, conditioned_at=at, playable_until=until, chamber="", loaded_at=None)


def take_out(shelf: Shelf, key: str, at: datetime) -> Shelf:
    """The shelf with that reel out of its chamber at that moment.

    It counts as treated where its hours are up and the advice lets it be warmed; else it only comes out, and
    its hours are kept with the load. So it does where its load was broken off, and it lay there since.
    Refused for a reel that is in no chamber.
    """
    reel = shelf.reel(key)
    lay = left_inside(shelf).get(key)
    if lay is not None:
        off = loads_of(shelf)[lay].broken_off
        ended = off if off is not None and reel.conditioned_at == off else at  # a whole warmth ended there
        return changed_member(shelf, lay, key, lambda member: replace(member, out=ended))
    if not reel.chamber:
        raise Refused(f"{key} is in no chamber")
    out = log_out(shelf, reel, at)
    if untreated(shelf, reel, at) is not None:
        return out.with_reel(replace(without_kept(shelf, reel), chamber="", loaded_at=None))
    return out.with_reel(taken_out(shelf, reel, at))


def not_before_it_went_in(shelf: Shelf, keys: Iterable[str], at: datetime) -> None:
    """Refused for a take-out, or a turn, that is told for a moment before the load of one of those began."""
    for key in keys:
        reel = shelf.reels.get(key)
        log = loads_of(shelf).get(load_of(shelf, reel) or "") if reel is not None and reel.chamber else None
        if log is not None and at < log.at.replace(second=0, microsecond=0):
            went_in = f"{day_text(log.at.date())} {log.at:%H:%M}"
            raise Refused(f"{key} went into {log.chamber} {went_in}: it was not touched there before")


def all_out(shelf: Shelf, keys: Iterable[str], at: datetime) -> Shelf:
    """The shelf with those reels out of their chambers at that moment."""
    for key in keys:
        shelf = take_out(shelf, key, at)
    return shelf


def nearly_up(shelf: Shelf, keys: Iterable[str], at: datetime) -> str:
    """That a reel which comes out then has its hours in minutes; empty where none does, or where it must."""
    for key in keys:
        reel = shelf.reels.get(key)
        log = loads_of(shelf).get(load_of(shelf, reel) or "") if reel is not None and reel.chamber else None
        member = log.member(key) if log is not None else None
        due = log.planned_out(member) if log is not None and member is not None else None
        if due is None or alarm_of(shelf, key) is not None or untreated(shelf, shelf.reel(key), at) is None:
            continue
        left = minutes_between(at, due)
        if 0 < left <= figure("heat.touch_late_minutes"):
            return f"{key} has its hours at {due:%H:%M}, in {hours_text(left)}{NOT_TREATED}"
    return ""


def untreated(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """Why a reel that comes out of its chamber at that moment does not count as treated; None if it does."""
    return advice_of(shelf, reel, at).no_heat or too_early(shelf, reel, at)
