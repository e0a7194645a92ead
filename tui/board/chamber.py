"""The chambers' touches: which is next, which is late, told from the loads that run on the shelf."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Literal

from core.clock import Span, later, minutes_between
from core.conditioning.loads.began_with import turned_as_begun
from core.logbook.running import running
from core.logbook.steps import taken
from core.shelf import Shelf
from core.studio.studio import Chamber
from core.values import dataclass

if TYPE_CHECKING:
    from fractions import Fraction

    from core.conditioning.loads.chamber_log import ChamberLog
    from core.conditioning.loads.places import Standing
    from core.evening.tonight.sheet import Step
    from core.plan import Do


@dataclass(frozen=True, slots=True)
class NextTouch:
    """A visit to a chamber: what is done there, when it is due, and which reels it is about.

    A tape that must be stopped at once is one too, to no chamber.
    """

    chamber: str
    do: Do | Literal["stop"]
    due: datetime
    since: datetime  # the touch before it, from which its time runs
    reels: tuple[str, ...]
    touch_minutes: int
    urgent: str = ""  # what must be done at once, in a sentence
    why: str = ""  # of what is urgent
    does: str = ""  # of what is urgent, in short

    @property
    def known_by(self) -> tuple[object, ...]:
        """What tells it from any other."""
        return self.chamber, self.do, self.due, self.reels, self.why

    def late(self, at: datetime) -> bool:
        """True from the moment at which it is due."""
        return minutes_between(self.due, at) >= 0  # elapsed, also where a clock shows an hour twice

    def share_left(self, at: datetime) -> float:
        """How much of the time since the touch before is still left, 1 to 0."""
        whole = minutes_between(self.since, self.due)
        left = float(minutes_between(at, self.due))
        return max(0.0, left) / float(whole) if whole > 0 else 0.0

    def words(self, at: datetime) -> str:
        """``C1: turn R-002, R-005 at 20:00, in 25 min``; of an alarm its whole sentence."""
        if self.urgent:
            return self.urgent
        minutes = minutes_between(at, self.due)
        named = ", ".join(self.reels[:4]) + (
            f" and {len(self.reels) - 4} more" if len(self.reels) > 4 else ""
        )
        when = (
            f"in {_stretch(minutes)}"
            if minutes > 0
            else f"{_stretch(int(-minutes))} late"
            if minutes <= -1
            else "now"
        )
        told = f"{self.chamber}: {self.do} {named} at {self.due:%H:%M}, {when}"
        if self.do != "take out" or minutes >= 0:
            return told
        from core.conditioning.hours_had import overdue_words

        late = overdue_words(self.due, at)
        return f"{told}; {late.partition(': ')[2]}" if late else told

    def brief(self, at: datetime) -> str:
        """The same in short, to stand beside another: of an alarm what is done, without its reason."""
        return self.does or self.words(at)

    def step(self, at: datetime) -> Step:
        """The same as a step of the run sheet, to be finished there; what is urgent is due ``at`` once."""
        from core.evening.tonight.planned_step import step_key
        from core.evening.tonight.sheet import Step

        begins = at.astimezone(self.due.tzinfo) if self.urgent else self.due
        planned = Span(begins, later(begins, minutes=self.touch_minutes))
        key = step_key(self.do, self.chamber, self.due)
        if self.urgent:  # two alarms of one load are two steps
            key = f"{key} {' '.join(self.reels)}"
        return Step(key, self.do, self.chamber, planned, reels=self.reels, urgent=bool(self.urgent))

    def done(self, shelf: Shelf, at: datetime) -> Shelf:
        """The shelf with that visit made at that moment, or with the tape stopped."""
        from core.evening.tonight.steps import finish_step
        from core.evening.tonight.transfer import halt

        if self.do != "stop":
            return finish_step(shelf, self.step(at), at)
        return halt(shelf, self.reels[0], at, self.why)


def _stretch(minutes: float | Fraction) -> str:
    whole = int(minutes) if minutes == int(minutes) else int(minutes) + 1
    if whole < 100:
        return f"{whole} min"
    return f"{whole // 60} h {whole % 60:02}" if whole < 60 * 48 else f"{whole // 1440} days"


def next_touches(shelf: Shelf, at: datetime) -> tuple[NextTouch, ...]:
    """The next touch that nobody has logged yet, of each chamber that runs: alarms, then the soonest.

    What is due out ``at`` that moment comes out in one touch, before a turn that was missed.
    """
    found = [next(_coming(*load, at), None) for load in _running(shelf)]
    coming = sorted((touch for touch in found if touch is not None), key=lambda touch: touch.due)
    return (*_urgent(shelf), *coming)


def also_due(touches: Sequence[NextTouch], at: datetime) -> str:
    """What is due behind the first of those, each in short: ``and 1 more: stop P-1``; empty for nothing."""
    behind = [touch.brief(at) for touch in touches[1:] if touch.late(at)]
    return f"and {len(behind)} more: {'; '.join(behind)}" if behind else ""


def touch_of(shelf: Shelf, reel: str, at: datetime) -> NextTouch | None:
    """The next touch of that reel that nobody has logged yet; None for one in no chamber, or an alarm."""
    coming = (touch for load in _running(shelf) for touch in _coming(*load, at))
    return next((touch for touch in coming if reel in touch.reels), None)


def _urgent(shelf: Shelf) -> Iterator[NextTouch]:
    """A take-out that is due at once, of every alarm of a chamber; a tape to stop, of every other."""
    lying = any("broken_off" in record for record in shelf.of_kind("load").values())
    if not lying and not running(shelf) and not any(reel.chamber for reel in shelf.reels.values()):
        return
    from core.conditioning.alarms import alarms
    from core.conditioning.loads.kept_loads import loads_of

    loads = loads_of(shelf)
    for alarm in alarms(shelf):
        if alarm.since is not None:
            stops = (alarm.says, alarm.why, alarm.does)
            yield NextTouch("", "stop", alarm.since, alarm.since, alarm.reels, 0, *stops)
        chamber, log = shelf.studio.chamber(alarm.chamber), loads.get(alarm.load)
        if chamber is not None and log is not None:
            minutes, told = chamber.touch_minutes, (alarm.says, alarm.why, alarm.does)
            yield NextTouch(chamber.id, "take out", log.at, log.at, alarm.reels, minutes, *told)


def coming_touches(shelf: Shelf, at: datetime) -> tuple[NextTouch, ...]:
    """All touches that nobody has logged yet, of each chamber that runs, to its last take-out; alarms first.

    A reel that must come out now is turned no more.
    """
    found = [touch for load in _running(shelf) for touch in _coming(*load, at)]
    urgent = (touch for touch in _urgent(shelf) if touch.do != "stop")  # a tape that runs is a step itself
    return (*urgent, *sorted(found, key=lambda touch: touch.due))


def missed_turns(shelf: Shelf, at: datetime) -> tuple[NextTouch, ...]:
    """Turns of loads that run that are over by then and nobody logged, though what is due out goes first.

    Nobody turns a tape that is due out; but who turned it before, and told nobody, can say so.
    """
    known = {(touch.chamber, touch.due) for touch in coming_touches(shelf, at) if touch.do == "turn"}
    left = {(one.subject, one.planned[0]) for one in taken(shelf).values() if one.state == "skipped"}
    since = (touch for load in _running(shelf) for touch in _coming(*load, load[2].at))
    return tuple(
        touch
        for touch in since
        if touch.do == "turn" and touch.due <= at and (touch.chamber, touch.due) not in known | left
    )


def places_of_touch(
    shelf: Shelf, chamber: str, due: datetime, out: Sequence[str], at: datetime
) -> Standing | None:
    """Where the reels go at that touch of the load that runs, by its log as it stands ``at`` that moment."""
    from core.conditioning.loads.places_now import places_at

    missed = [touch.due for touch in missed_turns(shelf, at) if touch.chamber == chamber and touch.due < due]
    return places_at(shelf, chamber, due, out, missed)


def coming_steps(shelf: Shelf, at: datetime) -> list[Step]:
    """The same as steps of the run sheet of that moment."""
    return [touch.step(at) for touch in coming_touches(shelf, at)]


def untold_steps(shelf: Shelf, at: datetime) -> list[Step]:
    """Those, and the turns that nobody logged though what is due out goes first: both can still be told."""
    return [*coming_steps(shelf, at), *(touch.step(at) for touch in missed_turns(shelf, at))]


def _running(shelf: Shelf) -> Iterator[tuple[Shelf, Chamber, ChamberLog, str]]:
    names = dict.fromkeys(
        reel.chamber for reel in shelf.reels.values() if reel.chamber and reel.loaded_at is not None
    )
    if not names:
        return
    from core.conditioning.loads.kept_loads import loads_of, running_load

    loads = loads_of(shelf)
    for name in names:
        chamber, key = shelf.studio.chamber(name), running_load(shelf, name)
        if chamber is not None and key is not None and key in loads:
            yield shelf, chamber, loads[key], key


def _coming(shelf: Shelf, chamber: Chamber, log: ChamberLog, key: str, at: datetime) -> Iterator[NextTouch]:
    """Turns and take-outs in order of time; where both fall together it is a take-out.

    A tape that is due out is lifted once: it is neither turned before that, nor left for a touch of its own.
    """
    from core.conditioning.alarms import out_now
    from core.conditioning.loads.not_turned import turned_before, turned_since

    inside = [one for one in log.members if one.out is None and _is_in(shelf, one.reel, chamber)]
    gone = out_now(shelf)
    inside = [one for one in inside if one.reel not in gone]
    outs: dict[datetime, list[str]] = {}
    for member in inside:
        out = log.planned_out(member)
        if out is not None:
            outs.setdefault(out, []).append(member.reel)
    due = sorted(out for out in outs if out <= at)
    for later_one in due[1:]:
        outs[due[0]] += outs.pop(later_one)
    reels = [one.reel for one in inside]
    every, number = turned_as_begun(chamber, log).turn_every.number, 1
    logged = log.as_counted(_last_logged(shelf, chamber.id, log, key), every)
    while reels:
        while every > 0:
            moment = log.after(every * number)
            made = turned_before(log, moment, every) or turned_since(shelf, log, moment)
            if moment > logged and not made:
                break
            number += 1
        first_out = min(outs, default=None)
        turn = log.after(every * number)
        if first_out is not None and (every <= 0 or first_out <= turn or first_out <= at):
            since, taken = min(logged, first_out), tuple(outs.pop(first_out))
            yield NextTouch(chamber.id, "take out", first_out, since, taken, chamber.touch_minutes)
            reels = [reel for reel in reels if reel not in taken]
            logged = max(first_out, at)  # a late one turns the rest with it, whatever turn was due since
        elif every > 0:
            since = log.after(every * (number - 1))
            yield NextTouch(chamber.id, "turn", turn, since, tuple(reels), chamber.touch_minutes)
            logged = turn
            if first_out is None:  # nobody knows when they come out: one turn is told at a time
                return
        else:
            return


def _is_in(shelf: Shelf, key: str, chamber: Chamber) -> bool:
    reel = shelf.reels.get(key)
    return reel is not None and reel.chamber == chamber.id


def _last_logged(shelf: Shelf, chamber: str, log: ChamberLog, key: str) -> datetime:
    """The planned moment of the last touch that was logged for the load that runs, else the load's start."""
    from core.evening.tonight.planned_step import step_key

    record = shelf.of_kind("load").get(key, {})
    moments = [log.at, *(datetime.fromisoformat(touch["planned"]) for touch in record.get("touches", ()))]
    touches = ("load", "turn", "take out")
    for name, done in taken(shelf).items():  # a touch that was done before the load had a log
        touched = done.subject == chamber and done.kind in touches and done.state == "done"
        at_alarm = not name.startswith(step_key(done.kind, chamber, done.planned[0]))  # no touch of the rest
        if touched and not at_alarm and done.planned[0] >= log.at:
            moments.append(done.planned[0])
    return max(moments).astimezone(log.at.tzinfo)
