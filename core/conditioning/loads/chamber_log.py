"""What happened to a chamber load: readings, turns, weights, take-outs, and how the tapes behaved after."""

from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from datetime import datetime, tzinfo
from fractions import Fraction
from typing import Literal

from core.as_json import as_json, read
from core.clock import later, minutes_between
from core.tape.where import figure
from core.values import dataclass

Behaved = Literal["", "clean heads", "some shed", "stopped"]
BEHAVED: tuple[Behaved, ...] = ("", "clean heads", "some shed", "stopped")
#: The keys of a load's record that the log itself writes; all others are left as they are.
OWN_KEYS = (
    "chamber", "at", "reels", "celsius", "turn_hours", "readings", "turns", "broken_off", "why", "gaps",
    "members",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Reading:
    """A thermometer's reading in °C, and where in the chamber it lay."""

    at: datetime
    celsius: float
    place: str = ""


@dataclass(frozen=True, slots=True)
class Member:
    """One reel of a load: hours it was to have, when it came out, grams before and after, how it then ran.

    `cool` are the hours of cooling with which it went in or came out: those it keeps, at least.
    """

    reel: str
    hours: Fraction | None = None
    out: datetime | None = None
    before_g: float | None = None
    after_g: float | None = None
    behaved: Behaved = ""
    cool: Fraction | None = None

    def __post_init__(self) -> None:
        if self.behaved not in BEHAVED:
            raise ValueError(f"a tape ran with {', '.join(BEHAVED[1:])}, not {self.behaved!r}")

    @property
    def lost_share(self) -> float | None:
        """What part of its weight it lost; None where it was not weighed twice."""
        if not self.before_g or self.after_g is None:
            return None
        return (self.before_g - self.after_g) / self.before_g


@dataclass(frozen=True, slots=True)
class Gap:
    """A stretch without warmth in the middle of a load: since when, until when, and why."""

    off: datetime
    on: datetime
    why: str = ""

    @property
    def minutes(self) -> Fraction:
        """How long it was off."""
        return minutes_between(self.off, self.on)


@dataclass(frozen=True, slots=True)
class ChamberLog:
    """One load: set point in °C, hours between turns, what was read and done. A trial run has no members.

    `broken_off` is when the warmth ended before its time; `gaps` are the times at which it went on again.
    """

    chamber: str
    at: datetime
    members: tuple[Member, ...] = ()
    celsius: float | None = None
    turn_hours: Fraction | None = None
    readings: tuple[Reading, ...] = ()
    turns: tuple[datetime, ...] = ()
    broken_off: datetime | None = None
    why: str = ""
    gaps: tuple[Gap, ...] = ()

    @property
    def trial(self) -> bool:
        """True for a run of the empty chamber."""
        return not self.members

    def member(self, reel: str) -> Member | None:
        """That reel in this load."""
        return next((one for one in self.members if one.reel == reel), None)

    def planned_out(self, member: Member) -> datetime | None:
        """When that reel's hours are up."""
        return None if member.hours is None else self.after(member.hours)

    def after(self, hours: Fraction) -> datetime:
        """The moment at which the load has had so many hours of warmth, gaps apart."""
        moment = later(self.at, hours=hours)
        for gap in self.gaps:
            if gap.off < moment:
                moment = later(moment, minutes=gap.minutes)
        return moment

    def warm_minutes(self, moment: datetime) -> Fraction:
        """Minutes of warmth from its start to that moment, gaps apart."""
        cold = (minutes_between(gap.off, min(gap.on, moment)) for gap in self.gaps if gap.off < moment)
        return minutes_between(self.at, moment) - sum(cold, Fraction(0))

    def as_counted(self, planned: datetime, every: Fraction) -> datetime:
        """The moment of a touch that was logged, as it counts now.

        A touch may have been made before anybody told that the load was off on the way: its planned moment
        then falls on no turn and no take-out, and stands for the one that it was without those gaps.
        """
        own = [member.hours for member in self.members if member.hours is not None]
        moment = planned
        for gap in (None, *reversed([one for one in self.gaps if one.off < planned])):
            moment = later(moment, minutes=gap.minutes) if gap is not None else moment
            cold = sum((one.minutes for one in self.gaps if one.off < moment), Fraction(0))
            warm = (minutes_between(self.at, moment) - cold) / 60
            turns = [every * round(warm / every)] if every > 0 else []
            if any(abs(warm - hours) <= Fraction(1, 60) for hours in (*own, *turns)):
                return moment
        return planned

    @property
    def as_if_from(self) -> datetime:
        """When it would have begun if it had never been off: what its reels say of their load."""
        return later(self.at, minutes=sum((gap.minutes for gap in self.gaps), Fraction(0)))

    def hours_had(self, reel: str, now: datetime) -> Fraction:
        """Hours of warmth that a reel has had: until it came out, the load was broken off, or now."""
        member = self.member(reel)
        if member is None:
            return Fraction(0)
        end = min(end for end in (member.out, self.broken_off, now) if end is not None)
        return max(Fraction(0), self.warm_minutes(end) / 60)

    def cools(self, member: Member, out: datetime, hours: Fraction) -> datetime:
        """Until when a reel that came out then cools: its treatment's ``hours``, or those that it keeps.

        One that left the heat before its hours were up cools as long as it was warm, those hours at most; one
        that lay in it for longer, out later than is tolerated, cools in proportion longer.
        """
        had, hours = self.hours_had(member.reel, out), max(hours, member.cool or Fraction(0))
        if self.too_short(member):
            return later(out, hours=min(hours, had))
        return later(
            out, hours=hours * had / member.hours if self.too_long(member) and member.hours else hours
        )

    def too_long(self, member: Member) -> bool:
        """True where it came out later than its hours were up by more minutes than are tolerated."""
        if member.out is None or member.hours is None:
            return False
        late = (self.hours_had(member.reel, member.out) - member.hours) * 60
        return bool(late > figure("heat.touch_late_minutes"))

    def too_short(self, member: Member) -> bool:
        """True where it came out, or the load was broken off, before its hours were up: no treatment."""
        ended = member.out or self.broken_off
        if ended is None or member.hours is None:
            return False
        return self.hours_had(member.reel, ended) < member.hours


def times_treated(loads: Sequence[ChamberLog], reel: str) -> tuple[int, int]:
    """How often that reel was treated, and after how many of them it stopped on the deck.

    A load that it left before it had its hours counts for nothing, and so does the one that it is in now.
    """
    mine = [(load, member) for load in loads if (member := load.member(reel)) is not None]
    if mine and _still_inside(*mine[-1]):
        mine.pop()
    found = [member for load, member in mine if not load.too_short(member)]
    return len(found), sum(1 for member in found if member.behaved == "stopped")


def _still_inside(load: ChamberLog, member: Member) -> bool:
    return member.out is None and load.broken_off is None and not member.behaved


def in_zone(log: ChamberLog, zone: tzinfo) -> ChamberLog:
    """The same log with every moment on that zone's clock."""
    return replace(
        log,
        at=log.at.astimezone(zone),
        members=tuple(replace(one, out=one.out and one.out.astimezone(zone)) for one in log.members),
        readings=tuple(replace(one, at=one.at.astimezone(zone)) for one in log.readings),
        turns=tuple(at.astimezone(zone) for at in log.turns),
        broken_off=log.broken_off and log.broken_off.astimezone(zone),
        gaps=tuple(Gap(one.off.astimezone(zone), one.on.astimezone(zone), one.why) for one in log.gaps),
    )


@dataclass(frozen=True, slots=True)
class _KeptMember:
    hours: Fraction | None = None
    out: datetime | None = None
    before_g: float | None = None
    after_g: float | None = None
    behaved: Behaved = ""
    cool: Fraction | None = None


@dataclass(frozen=True, slots=True)
class _Touch:
    at: datetime
    do: str = ""


@dataclass(frozen=True, slots=True)
class _Kept:
    """A load as its record tells it; ``touches`` are the evening's and only read here."""

    chamber: str
    at: datetime
    reels: tuple[str, ...] = ()
    celsius: float | None = None
    turn_hours: Fraction | None = None
    readings: tuple[tuple[datetime, float, str], ...] = ()
    turns: tuple[datetime, ...] = ()
    broken_off: datetime | None = None
    why: str = ""
    gaps: tuple[tuple[datetime, datetime, str], ...] = ()
    members: Mapping[str, _KeptMember] = field(default_factory=dict)
    touches: tuple[_Touch, ...] = ()


def to_record(log: ChamberLog) -> dict[str, object]:
    """The log as a plain JSON value."""
    told = {one.reel: _kept_member(one) for one in log.members}
    kept = _Kept(
        log.chamber, log.at, tuple(told), log.celsius, log.turn_hours,
        tuple((one.at, one.celsius, one.place) for one in log.readings), log.turns, log.broken_off, log.why,
        tuple((gap.off, gap.on, gap.why) for gap in log.gaps),
        {reel: one for reel, one in told.items() if one != _KeptMember()},
    )  # fmt: skip
    return {"reels": [], **as_json(kept, quiet=True)}


def from_record(record: Mapping[str, object]) -> ChamberLog:
    """The log from its record, also from the bare one of a load that has just started.

    ValueError where it is no record of a load.
    """
    kept = read(_Kept, record)
    return ChamberLog(
        chamber=kept.chamber,
        at=kept.at,
        members=tuple(_member(reel, kept.members.get(reel, _KeptMember())) for reel in kept.reels),
        celsius=kept.celsius,
        turn_hours=kept.turn_hours,
        readings=tuple(Reading(*one) for one in kept.readings),
        turns=_turns(kept),
        broken_off=kept.broken_off,
        why=kept.why,
        gaps=tuple(Gap(*one) for one in kept.gaps),
    )


def _turns(kept: _Kept) -> tuple[datetime, ...]:
    """Turns as ticked here, and as the evening's touches tell; a take-out turns what stays."""
    touched = dict.fromkeys(one.at for one in kept.touches if one.do in ("turn", "take out"))
    return (*kept.turns, *(at for at in touched if at not in kept.turns))


def _kept_member(one: Member) -> _KeptMember:
    return _KeptMember(one.hours, one.out, one.before_g, one.after_g, one.behaved, one.cool)


def _member(reel: str, kept: _KeptMember) -> Member:
    return Member(reel, kept.hours, kept.out, kept.before_g, kept.after_g, kept.behaved, kept.cool)
