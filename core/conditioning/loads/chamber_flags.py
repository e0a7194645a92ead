"""What a chamber's log shows to be wrong, and what to do next."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from fractions import Fraction
from typing import Literal

from core.clock import later, minutes_between
from core.conditioning.loads.chamber_log import ChamberLog, Member
from core.conditioning.loads.degrees import Degrees
from core.conditioning.loads.limits import Limits, limits
from core.conditioning.loads.not_turned import turned_before
from core.quantities import plain
from core.tape.treatments import Programme
from core.tape.where import figure
from core.values import dataclass
from core.words import hours_text

FlagKind = Literal["hard stop", "over", "under", "turn missed", "turn late"]


@dataclass(frozen=True, slots=True)
class Flag:
    """Something wrong with a load, when it was, and one sentence."""

    kind: FlagKind
    at: datetime
    says: str


@dataclass(frozen=True, slots=True)
class Turn:
    """A turn of a load: when it is due, when it was done if it was, and how that stands now."""

    due: datetime
    done: datetime | None
    state: Literal["done", "late", "missed", "due", "ahead"]


CELSIUS = Degrees()


def flags(
    log: ChamberLog,
    programme: Programme,
    now: datetime,
    degrees: Degrees = CELSIUS,
    held: Limits | None = None,
) -> tuple[Flag, ...]:
    """Readings out of the programme's limits and turns missed or late up to now, in order of time."""
    held = held or limits()
    found = [*_temperatures(log, programme, degrees, held), *_turns(log, programme, now, held)]
    return tuple(sorted(found, key=lambda flag: flag.at))


def turns_due(log: ChamberLog, programme: Programme, until: datetime) -> tuple[datetime, ...]:
    """Moments at which the load is to be turned: every `turn_hours` while any reel stays in."""
    every = log.turn_hours or programme.turn_hours
    stays = [_last_in(log, member, programme) for member in log.members]
    end = min(max(stays, default=log.at), log.broken_off or until, until)
    due: list[datetime] = []
    while (at := log.after(every * (len(due) + 1))) < end:
        due.append(at)
    return tuple(due)


def turns(
    log: ChamberLog, programme: Programme, now: datetime, held: Limits | None = None
) -> tuple[Turn, ...]:
    """Every turn of a load, also those ahead, with what was done."""
    late = (held or limits()).turn_late_minutes
    last = max((_last_in(log, member, programme) for member in log.members), default=log.at)
    due_times = turns_due(log, programme, last)
    found: list[Turn] = []
    for place, due in enumerate(due_times):
        out = _out_by(log, due)
        if out is not None:  # nobody turns what is due out: it was a take-out, or no touch at all
            on_time = minutes_between(due, out) <= late
            found += [Turn(due, out, "done" if on_time else "late")] if _outs_at(log, due) else []
            continue
        next_due = due_times[place + 1] if place + 1 < len(due_times) else None
        since = due_times[place - 1] if place else log.at
        used = {one.done for one in found}
        ahead = [at for at in log.turns if since <= at < due and at not in used]  # made long before its time
        near = [
            at
            for at in log.turns
            if minutes_between(due, at) >= -late
            and (next_due is None or minutes_between(at, next_due) > late)
        ]
        near = [at for at in near if at not in used] or ahead[-1:]
        if not near and turned_before(log, due, log.turn_hours or programme.turn_hours) is not None:
            continue  # the one before was made so late that nothing is turned here
        if near:
            done = min(near)
            found.append(Turn(due, done, "done" if minutes_between(due, done) <= late else "late"))
        elif minutes_between(now, due) > 0:  # elapsed: in the hour that a clock shows twice both read alike
            found.append(Turn(due, None, "ahead"))
        else:
            found.append(Turn(due, None, "missed" if minutes_between(due, now) > late else "due"))
    return tuple(found)


def _out_by(log: ChamberLog, due: datetime) -> datetime | None:
    """When the last came out of what lay there, if all of it had its hours by that moment; else None."""
    there = [one for one in log.members if one.out is None or one.out >= due]
    stays = ((log.planned_out(one) or due, one.out) for one in there)
    outs = [out for planned, out in stays if planned <= due and out is not None]
    known = all(log.planned_out(one) is not None for one in there)
    return max(outs) if outs and known and len(outs) == len(there) else None


def _outs_at(log: ChamberLog, due: datetime) -> bool:
    """True where the hours of one of its tapes were up at that moment."""
    return any(log.planned_out(one) == due for one in log.members)


def next_step(
    log: ChamberLog, reel: str, programme: Programme, now: datetime, held: Limits | None = None
) -> str:
    """What to do with a reel of a load that was broken off, with the hours it had."""
    member = log.member(reel)
    if member is None or log.broken_off is None:
        return ""
    wanted = member.hours or programme.hours
    had = log.hours_had(reel, now)
    told = f"{reel} had {hours_text(had * 60)} of {hours_text(wanted * 60)}"
    if had >= wanted:
        return f"{told}: it is done, let it cool {hours_text(programme.cool_hours * 60)}"
    if minutes_between(log.broken_off, now) <= (held or limits()).resume_minutes:
        return f"{told}: still warm, give it the {hours_text((wanted - had) * 60)} that are left"
    return f"{told}: it has cooled, give it the whole {hours_text(wanted * 60)} again before it is played"


def playable_days_left(out: datetime, programme: Programme, now: datetime) -> Fraction:
    """Days left in which a treated tape may be played; below nothing once they are over."""
    return programme.playable_days - minutes_between(out, now) / 1440


def drying(member: Member, held: Limits | None = None) -> str:
    """What the scale says of a reel, in a sentence: a hint, no proof. Empty if not weighed twice."""
    lost = member.lost_share
    if lost is None or member.before_g is None or member.after_g is None:
        return ""
    grams = member.before_g - member.after_g
    if lost < 0:
        return f"{member.reel} came out {-grams:g} g heavier: check the scale"
    if lost < (held or limits()).weight_settled_share:
        return f"{member.reel} lost {grams:g} g, hardly anything: it was dry, or the warmth did not reach it"
    return f"{member.reel} lost {grams:g} g ({lost * 100:.2f} %)"


def trial_needed(logs: Iterable[ChamberLog], chamber: str) -> bool:
    """True while a chamber has had no empty run read at two places, which comes before its first load."""
    mine = [log for log in logs if log.chamber == chamber and log.trial]
    return not any(len({one.place for one in log.readings}) > 1 for log in mine)


def trial_verdict(
    log: ChamberLog, programme: Programme, degrees: Degrees = CELSIUS, held: Limits | None = None
) -> tuple[str, ...]:
    """What an empty run shows to be wrong, one sentence each; none if a load may go in."""
    held = held or limits()
    settled = later(log.at, minutes=held.settle_minutes)
    late = [one for one in log.readings if one.at >= settled]
    places = {one.place for one in late}
    found = []
    if len(places) < 2:
        found.append("read two places once the chamber is warm: a second thermometer, not its own")
    means = [
        sum(r.celsius for r in late if r.place == at) / sum(r.place == at for r in late) for at in places
    ]
    spread = max(means, default=0) - min(means, default=0)
    if spread > held.trial_spread_c:
        found.append(
            f"its places differ by {degrees.apart(spread)}: turn and move reels often, "
            "or leave the worst empty"
        )
    found += [flag.says for flag in _temperatures(log, programme, degrees, held)]
    return tuple(dict.fromkeys(found))


def _temperatures(log: ChamberLog, programme: Programme, degrees: Degrees, held: Limits) -> Iterable[Flag]:
    stop = figure("heat.hard_stop_c")
    settled = later(log.at, minutes=held.settle_minutes)
    for one in log.readings:
        where = f" at {one.place}" if one.place else ""
        read = f"{degrees.text(one.celsius)}{where}"
        if one.celsius >= stop:
            most = degrees.text(stop)
            yield Flag(
                "hard stop", one.at, f"{read}: switch off and take the reels out, nothing above {most}"
            )
        elif one.celsius > programme.high_c:
            yield Flag("over", one.at, f"{read}: above {degrees.text(programme.high_c)}, turn it down")
        elif one.celsius < programme.low_c and one.at >= settled:
            yield Flag(
                "under", one.at, f"{read}: below {degrees.text(programme.low_c)}, these hours may not count"
            )


def _turns(log: ChamberLog, programme: Programme, now: datetime, held: Limits) -> Iterable[Flag]:
    every = turns(log, programme, now, held)
    for turn in every:
        if turn.state == "late" and turn.done is not None:
            late = plain(minutes_between(turn.due, turn.done))
            yield Flag("turn late", turn.due, f"turned {late} min late")
        elif turn.state == "missed":
            now_do = f": {TURN_NOW}" if may_still_turn(log, every, turn, now) else ""
            yield Flag("turn missed", turn.due, f"a turn was missed{now_do}")


TURN_NOW = "turn the reels now and move them"


def may_still_turn(log: ChamberLog, every: Sequence[Turn], turn: Turn, now: datetime) -> bool:
    """Whether a turn that was missed is made now: nothing was turned since, and nothing is due out first."""
    over = log.broken_off is not None or all(one.out is not None for one in log.members)
    since = any(one.done is not None and one.done >= turn.due for one in every)
    outs = (log.planned_out(one) for one in log.members if one.out is None)
    return not (over or since or any(out is not None and out <= now for out in outs))


def _last_in(log: ChamberLog, member: Member, programme: Programme) -> datetime:
    """Until when it is turned: till it came out, or a day past its hours where that moment cannot be."""
    planned = log.planned_out(member) or later(log.at, hours=programme.hours)
    return planned if member.out is None else min(member.out, later(planned, hours=24))
