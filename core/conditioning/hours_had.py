"""The hours of warmth that a tape really had, against those it was to have."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from core.clock import minutes_between, write_time
from core.conditioning.advisor import advisor
from core.conditioning.loads.chamber_log import ChamberLog, Member
from core.conditioning.loads.kept_loads import load_of, loads_of
from core.reels.needs import base_of, heated_hours, sticky, undated
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.where import figure
from core.values import dataclass
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


@dataclass(frozen=True, slots=True)
class Short:
    """Warmth that a tape lacks or no load tells of: ``says`` goes on behind *it*, ``brief`` is for lists."""

    says: str
    brief: str


def short_hours(shelf: Shelf, reel: Reel) -> Short | None:
    """What a tape lacks of its hours of warmth, as ``had 20 min of 4 h of warmth only``; None if nothing.

    Told of one whose newest time in a chamber was cut short, and of one that was marked conditioned, or
    further, at the owner's word alone, or plays on by it longer than any source says. One that was warmed
    against its base lacks nothing; of one that only its stage calls warmed, that is told.
    """
    base = base_of(reel, shelf.own_stocks())
    if reel.chamber:
        return None
    log, member = _newest(shelf, reel.key)
    alone = log is None and sticky(reel, shelf.own_stocks()) and _by_the_cell(reel)
    if base not in ("polyester", "unknown"):
        told = alone or (log is None and undated(reel, shelf.studio, shelf.own_stocks()))
        return _against(base) if told else None
    if alone:
        return BY_CELL
    if log is not None and member is not None and log.too_short(member):
        until = member.out or log.broken_off
        if until is not None and member.hours is not None:
            had = _of(log.hours_had(reel.key, until), member.hours)
            return Short(f"had {had} of warmth only", f"had {had}")
    if _at_word(shelf, reel):
        return _ON_WORD
    if undated(reel, shelf.studio, shelf.own_stocks()):
        return UNDATED
    return _gum_since(shelf, reel) or _playable_too_long(shelf, reel)


def long_hours(shelf: Shelf, reel: Reel) -> str:
    """``had 15 h 00 of 4 h 00``: of a tape whose newest time in the heat was much too long; else empty."""
    log, member = _newest(shelf, reel.key)
    if reel.chamber or log is None or member is None or member.out is None or member.hours is None:
        return ""
    return f"had {_of(log.hours_had(reel.key, member.out), member.hours)}" if log.too_long(member) else ""


def no_load(shelf: Shelf, reel: Reel) -> str:
    """Why a tape that is to be warmed, and is in no chamber, has not had its hours."""
    log, member = _newest(shelf, reel.key)
    if log is not None and member is not None and log.too_short(member):
        short = short_hours(shelf, reel)
        if short is not None:
            return f"its hours are not up: it {short.brief}"
    course = shelf.studio.treatment(reel.width)
    hours = f"{hours_text(int(heated_hours(reel, course) * 60))} of warmth" if course else "warmth"
    return f"it was in no load that gave it its {hours}"


def kept_at_word(shelf: Shelf, before: Reel) -> Shelf:
    """The shelf that remembers that this reel, as it is now, was warmed at the owner's word alone.

    ``before`` is the reel as it was; nothing is kept where it needed no warmth then or its load tells.
    """
    reel = shelf.reel(before.key)
    if not reel.past("conditioned") or short_hours(shelf, reel) is not None:
        return shelf
    at = write_time(reel.conditioned_at) if reel.conditioned_at else ""
    return shelf.with_record("at word", reel.key, {"reel": reel.key, "conditioned_at": at})


_ON_WORD = Short("was in no load here: that it was warmed rests on your word", "warmed at your word")


#: Warmed by its stage alone: the owner's word, without even a date.
UNDATED = Short(
    "counts as warmed by its stage alone, no take-out is written: its warmth rests on your word", "your word"
)


#: Playable by a cell alone, with no take-out behind it.
BY_CELL = Short(
    "is playable by what is written alone, no take-out is: its warmth rests on your word", "your word"
)


def _by_the_cell(reel: Reel) -> bool:
    return reel.playable_until is not None and reel.conditioned_at is None


def _gum_since(shelf: Shelf, reel: Reel) -> Short | None:
    """That its outermost turns were tried since it was warmed, and did not run clean; None if not."""
    if not left_since(shelf, reel):
        return None
    return Short(f"left {reel.tried} since it was warmed: warm it again", f"{reel.tried} since")


def left_since(shelf: Shelf, reel: Reel) -> bool:
    """True for a tape that left gum or residue by hand since it was warmed: it is warmed again first."""
    out = reel.conditioned_at
    if out is None or reel.tried not in FOUL:
        return False
    tried = [one.at for one in shelf.history if (one.key, one.field) == (reel.key, "tried")]
    return bool(tried) and tried[-1] > out


#: What the outermost turns of a tape leave that was not cured.
FOUL = ("gum", "residue")


def _against(base: str) -> Short:
    """Of a sticky tape of a base that is never warmed, and that its stage alone calls warmed."""
    says = f"is {base}, never to be warmed, and counts as warmed by a word alone: it rests on yours"
    return Short(says, f"{base}, your word")


def _playable_too_long(shelf: Shelf, reel: Reel) -> Short | None:
    """That it is written to be playable for longer than any source says a treated tape is; None if not."""
    until, since = reel.playable_until, reel.conditioned_at
    if until is None or since is None or not sticky(reel, shelf.own_stocks()):
        return None
    days, most = int(minutes_between(since, until)) // 1440, int(figure("heat.playable_days_most"))
    says = f"is playable for {days} days by your word, and no source says more than {most}"
    return Short(says, f"playable {days} days by your word") if days > most else None


def _at_word(shelf: Shelf, reel: Reel) -> bool:
    """True while what was kept is of this conditioning, and the tape is still one that needed it."""
    kept = shelf.of_kind("at word").get(reel.key)
    if kept is None or not reel.past("conditioned") or not sticky(reel, shelf.own_stocks()):
        return False
    at = datetime.fromisoformat(kept["conditioned_at"]) if kept["conditioned_at"] else None
    return at == reel.conditioned_at


def _newest(shelf: Shelf, key: str) -> tuple[ChamberLog | None, Member | None]:
    for log in reversed(advisor(shelf).loads):
        member = log.member(key)
        if member is not None:
            return log, member
    return None, None


def _of(had: Fraction, wanted: Fraction) -> str:
    return f"{hours_text(int(had * 60))} of {hours_text(int(wanted * 60))}"
