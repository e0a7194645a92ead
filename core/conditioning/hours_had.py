"""The hours of warmth that a tape really had, against those it was to have."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from core.clock import minutes_between
from core.conditioning.advisor import advisor
from core.conditioning.chamber_log import ChamberLog, Member
from core.conditioning.kept_loads import load_of, loads_of
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.where import figure
from core.words import hours_text


def too_early(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """Why a reel that comes out of its chamber at that moment has not had its hours; None if it has."""
    key = load_of(shelf, reel)
    log = loads_of(shelf).get(key) if key is not None else None
    member = log.member(reel.key) if log is not None else None
    if log is None or member is None or member.hours is None:
        return None
    had = log.hours_had(reel.key, at)
    return None if had >= member.hours else f"its hours are not up: it had {_of(had, member.hours)}"


def overdue_words(due: datetime, at: datetime) -> str:
    """What is said of a take-out that is late by more than the tolerance; empty for one in time."""
    late = minutes_between(due, at)
    if late <= figure("heat.touch_late_minutes"):
        return ""
    return f"its hours were up {hours_text(late)} ago: take it out now, more heat does no good"


def short_hours(shelf: Shelf, reel: Reel) -> str:
    """``had 20 min of 4 h``: of a reel whose newest time in a chamber was cut short; empty for any other."""
    log, member = _newest(shelf, reel.key)
    if log is None or member is None or reel.chamber or not log.too_short(member):
        return ""
    until = member.out or log.broken_off
    if until is None or member.hours is None:
        return ""
    return f"had {_of(log.hours_had(reel.key, until), member.hours)} of warmth"


def _newest(shelf: Shelf, key: str) -> tuple[ChamberLog | None, Member | None]:
    for log in reversed(advisor(shelf).loads):
        member = log.member(key)
        if member is not None:
            return log, member
    return None, None


def _of(had: Fraction, wanted: Fraction) -> str:
    return f"{hours_text(int(had * 60))} of {hours_text(int(wanted * 60))}"
