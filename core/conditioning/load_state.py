"""How one chamber load stands at a moment: everything that a screen, a sheet or a script tells of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import Literal

from core.clock import minutes_between
from core.conditioning.advisor import heat_of
from core.conditioning.alarms import out_now, reads_too_hot
from core.conditioning.loads.chamber_flags import (
    Flag,
    Turn,
    drying,
    flags,
    next_step,
    playable_days_left,
    trial_verdict,
    turns,
)
from core.conditioning.loads.chamber_log import ChamberLog, Member
from core.conditioning.loads.degrees import Degrees, degrees_of
from core.conditioning.loads.kept_loads import loads_of, running_load
from core.conditioning.loads.limits import Limits, limits_of
from core.conditioning.reel_advice import programme_for
from core.errors import Refused
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.treatments import Programme, programme
from core.tape.where import figure
from core.values import dataclass

State = Literal["runs", "broken off", "over", "empty run"]


@dataclass(frozen=True, slots=True)
class MemberState:
    """One reel of a load: what its box says, hours had and wanted, and every moment that is known of it.

    `next` is what to do with it after a load that was broken off, `drying` what the scale says, `out_now` why
    it must come out now; all three may be empty. `days_left` is below nothing once its playable days are
    over.
    """

    member: Member
    box: str
    wanted: Fraction | None
    had: Fraction
    due: datetime | None
    out: datetime | None
    cool_until: datetime | None
    days_left: Fraction | None
    next: str
    drying: str
    out_now: str = ""


@dataclass(frozen=True, slots=True)
class LoadState:
    """One load: its log, its programme (None where the studio tells none), and what follows from both.

    `verdict` is what an empty run shows to be wrong; `may_go_on` is true while a load that was broken off is
    still warm enough to go on with the hours that are left.
    """

    key: str
    log: ChamberLog
    state: State
    programme: Programme | None
    flags: tuple[Flag, ...]
    turns: tuple[Turn, ...]
    members: tuple[MemberState, ...]
    verdict: tuple[str, ...] = ()
    may_go_on: bool = False

    @property
    def ends(self) -> datetime | None:
        """When its last reel's hours are up, or when it ended."""
        ends = [one.out or one.due for one in self.members]
        known = [end for end in ends if end is not None]
        return self.log.broken_off or max(known, default=None)

    def member(self, reel: str) -> MemberState | None:
        """That reel in this load."""
        return next((one for one in self.members if one.member.reel == reel), None)


def load_state(shelf: Shelf, key: str, now: datetime, degrees: Degrees | None = None) -> LoadState:
    """How that load stands at that moment; Refused for a load that the shelf does not know."""
    log = loads_of(shelf).get(key)
    if log is None:
        raise Refused(f"no load {key!r} on this shelf")
    held, unit = limits_of(shelf), degrees or degrees_of(shelf)
    course = load_programme(shelf, log, held)
    return LoadState(
        key=key,
        log=log,
        state=_state(shelf, key, log),
        programme=course,
        flags=flags(log, course, now, unit, held) if course is not None else (),
        turns=turns(log, course, now, held) if course is not None else (),
        members=tuple(_member(shelf, log, one, now, held) for one in log.members),
        verdict=trial_verdict(log, course, unit, held) if log.trial and course is not None else (),
        may_go_on=_warm(log, now, held) and not reads_too_hot(shelf, log),
    )


def load_programme(shelf: Shelf, log: ChamberLog, held: Limits | None = None) -> Programme | None:
    """The limits and turns of a whole load: its own set point, its chamber's turns, its longest hours."""
    courses = [course for one in log.members if (course := _programme_of(shelf, one.reel)) is not None]
    celsius = log.celsius if log.celsius is not None else next((one.celsius for one in courses), None)
    if celsius is None:
        return None
    chamber = shelf.studio.chamber(log.chamber)
    turn = log.turn_hours or (chamber.turn_every.number if chamber is not None else None)
    hours = [one.hours for one in log.members if one.hours] or [one.hours for one in courses]
    usual = Fraction(figure("heat.settle_hours"))
    cools = max((one.cool_hours for one in courses), default=Fraction(0))
    try:
        made = programme(celsius, max(hours, default=usual), turn_hours=turn or None, cool_hours=cools)
    except ValueError:
        return None
    band, stop = (held or limits_of(shelf)).reading_band_c, float(figure("heat.hard_stop_c"))
    return replace(made, low_c=celsius - band, high_c=max(celsius, min(celsius + band, stop)))


def newest_load(shelf: Shelf, chamber: str = "") -> str | None:
    """The load that runs, else the one that began last, in that chamber or in any; None if none did."""
    chambers = [chamber] if chamber else [one.id for one in shelf.studio.chambers]
    running = [key for one in chambers if (key := running_load(shelf, one)) is not None]
    mine = [key for key, log in loads_of(shelf).items() if not chamber or log.chamber == chamber]
    return next(iter(running), mine[-1] if mine else None)


def _state(shelf: Shelf, key: str, log: ChamberLog) -> State:
    if log.trial:
        return "empty run"
    if running_load(shelf, log.chamber) == key:
        return "runs"
    return "broken off" if log.broken_off is not None else "over"


def _warm(log: ChamberLog, now: datetime, held: Limits) -> bool:
    if log.trial or log.broken_off is None or not any(log.too_short(one) for one in log.members):
        return False
    return 0 <= minutes_between(log.broken_off, now) <= held.resume_minutes


def _programme_of(shelf: Shelf, key: str) -> Programme | None:
    reel = shelf.reels.get(key)
    try:
        return programme_for(reel, shelf.studio) if reel is not None else None
    except ValueError:  # a set point above the hard stop: no limits can be told
        return None


def _member(shelf: Shelf, log: ChamberLog, member: Member, now: datetime, held: Limits) -> MemberState:
    reel, course = shelf.reels.get(member.reel), _programme_of(shelf, member.reel)
    done = member.out is not None and not log.too_short(member)
    return MemberState(
        member=member,
        box=reel.on_box if reel is not None else "",
        wanted=member.hours,
        had=log.hours_had(member.reel, now),
        due=log.planned_out(member),
        out=member.out,
        cool_until=_cools(log, member, course),
        days_left=playable_days_left(member.out, course, now)
        if course and done and member.out and _plays(reel)
        else None,
        next=_next(shelf, log, member, course, now, held) if course and not member.out else "",
        drying=drying(member, held),
        out_now=out_now(shelf).get(member.reel, "") if reel is not None and _is_in(reel, log) else "",
    )


def _cools(log: ChamberLog, member: Member, course: Programme | None) -> datetime | None:
    """Until when it cools; None where it is not out, and where no treatment tells or told of cooling."""
    if member.out is None or (course is None and member.cool is None):
        return None
    return log.cools(member, member.out, course.cool_hours if course is not None else Fraction(0))


def _next(
    shelf: Shelf, log: ChamberLog, member: Member, course: Programme, now: datetime, held: Limits
) -> str:
    """What to do with a reel of a load that was broken off; none that must not be warmed is sent back."""
    told = next_step(log, member.reel, course, now, held)
    reel = shelf.reels.get(member.reel)
    never = heat_of(shelf, reel, now).never if told and reel is not None else None
    hot = reads_too_hot(shelf, log) if told else ""
    if hot and not never:
        return f"{member.reel}: {hot}; let it cool and look at it, and warm nothing there until it reads less"
    return f"{member.reel}: no more heat, {never}" if never else told


def _plays(reel: Reel | None) -> bool:
    """False for a tape that no hours in the heat make playable: with mould or vinegar, or set aside."""
    return reel is None or not (reel.set_aside or {"mould", "vinegar"} & reel.troubles)


def _is_in(reel: Reel, log: ChamberLog) -> bool:
    return reel.chamber == log.chamber and log.broken_off is None
