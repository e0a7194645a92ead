"""The kept plan as a calendar: the evenings, and every touch of a chamber, with alarms.

An event keeps its UID as long as it is the same evening or the same touch of the same load, so that a
calendar that reads the file again brings its events up to date and doubles none. What a plan before this
one had and this one has not is cancelled where that plan is given.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta

import icalendar

from core.clock import evening_of
from core.conditioning.alarms import alarms, out_now
from core.conditioning.hours_had import short_hours
from core.conditioning.loads.trial import empty_runs
from core.conditioning.spreading.handled import OPENED, handled
from core.conditioning.spreading.shared_air import look_in_short
from core.evening.around.closing import closing
from core.evening.around.song_dates import song_dates
from core.evening.around.tight_end import wind_told, winds_behind
from core.evening.tonight.helper import days_without
from core.evening.tonight.line_ups import what_for
from core.evening.tonight.provisional import provisional
from core.evening.tonight.sheet import Step
from core.evening.warming.as_begun import as_begun, at_its_time
from core.evening.warming.lapsing import NEAR_DAYS, SOON_DAYS, Lapse, lapsing
from core.evening.warming.warm import warm_beside
from core.paper.evening.taken_back import CANCELLED, NOW, taken_back
from core.paper.evening.touch_names import touch_name
from core.paper.look.evenings import Evening, evenings
from core.paper.look.letters import cleaned
from core.paper.look.tell import details, headline
from core.paper.look.words import clock, short_moment
from core.paper.look.zone import zone_component
from core.plan import Plan
from core.shelf import Shelf
from core.songs.when import SongDate, song_line
from core.standing.of_plan.still import left_of_plan, struck_words
from core.tape.cautions import DEFERS

BEFORE_EVENING_MINUTES = 30
BEFORE_TOUCH_MINUTES = 10
_NAMES = uuid.UUID("5b1f6c0e-0d5e-5d0a-9c1e-7a3e5a1f2b64")


def calendar(
    shelf: Shelf,
    plan: Plan,
    made: datetime,
    *,
    stale: str | None = None,
    before: Plan | None = None,
    sent: Mapping[str, tuple[str, str]] = {},
) -> bytes:
    """The plan as iCalendar (RFC 5545): UTF-8, CRLF, times in the studio's zone with its VTIMEZONE.

    ``made`` dates the file; ``stale`` is a sentence that every event then begins with; ``before`` is the
    plan that this one takes the place of; what it had before this one begins stays. ``sent`` are the events
    of the calendar before this one, by UID with start and summary.
    """
    plan = as_begun(shelf, plan)
    out = icalendar.Calendar()
    out.add("prodid", "-//reelturn//evenings and chamber touches//EN")
    out.add("version", "2.0")
    out.add("calscale", "GREGORIAN")
    out["X-WR-CALNAME"] = icalendar.vText(_line(f"{shelf.studio.name or 'Studio'}: tapes"))
    if stale:
        out.add("comment", _line(stale))
    _, gone = left_of_plan(shelf, plan, made)
    events = [*_alarm_events(shelf, plan, made), *_events(shelf, plan, made, stale)]
    events += _empty_run_events(shelf, plan, made, stale)
    events += [
        _lapse_event(shelf, plan, lapse, made)
        for lapse in lapsing(shelf, plan, made)
        if lapse.warmed is None or lapse.warmed.start > lapse.until
    ]
    known = {str(event["UID"]) for event in events}
    if gone:
        events += _struck_events(shelf, plan, made, known)
        known = {str(event["UID"]) for event in events}
    if before is not None:
        were = _events(shelf, before, made, None)
        past = [event for event in were if str(event["UID"]) not in known and event.start >= plan.start]
        events += [_cancelled(event, shelf, plan) for event in past]
        known = {str(event["UID"]) for event in events}
    events += taken_back(sent, known, made, sequence(shelf, plan), _plan_line(plan))
    year = timedelta(days=400)
    zone = zone_component(plan.start, plan.start - year, plan.until + year) if events else None
    for component in [*([zone] if zone is not None else []), *events]:
        out.add_component(component)
    return bytes(out.to_ical())


def _alarm_events(shelf: Shelf, plan: Plan, made: datetime) -> Iterator[icalendar.Event]:
    """What must be done now, as an event that rings at once."""
    for one in alarms(shelf):
        start = made.astimezone(shelf.studio.zone).replace(second=0, microsecond=0)
        name = f"alarm {one.load} {' '.join(one.reels)}"
        event = _event(shelf, plan, name, start, start + timedelta(minutes=10), made)
        event.add("summary", _line(f"{NOW}{one.does}"))
        event.add("description", _text([one.says, _plan_line(plan)]))
        event.add("priority", 1)
        _alarm(event, 0, f"Now: {one.says}")
        yield event


def _empty_run_events(
    shelf: Shelf, plan: Plan, made: datetime, stale: str | None
) -> Iterator[icalendar.Event]:
    """A chamber's empty run on the evening on which there is time for it; it rings as that begins.

    It is cancelled with its load.
    """
    left, gone = left_of_plan(shelf, plan, made)
    due = empty_runs(shelf, left, made)
    chambers = {one.chamber for one in due}
    behind = [one for one in empty_runs(shelf, plan, made) if one.chamber not in chambers]
    for one in (*due, *behind):
        if one.start is None or one.end is None:
            continue
        event = _event(shelf, plan, f"empty run {one.chamber}", one.start, one.end, made)
        told, comes = f"Tapes: run chamber {one.chamber} empty", one in due
        loads = [out for out in gone if (out.item.chamber, out.item.start) == (one.chamber, one.load)]
        why = f"{one.dated}." if comes else f"Its load is {struck_words(loads)}"
        event.add("summary", _line(told if comes else f"{CANCELLED}{told}"))
        event.add("description", _text([*([stale] if stale else []), why, DEFERS, _plan_line(plan)]))
        event.add("transp", "TRANSPARENT")
        if comes:
            _alarm(event, 0, f"Run chamber {one.chamber} empty, before {one.which}")
        else:
            event["STATUS"] = icalendar.vText("CANCELLED")
        yield event


def _struck_events(shelf: Shelf, plan: Plan, made: datetime, known: set[str]) -> Iterator[icalendar.Event]:
    """What nothing is left of, cancelled with the reason; it had its place in prints before this one."""
    for evening in evenings(shelf, plan, made):
        work = [(step, why) for step, why in evening.crossed if not step.touch]
        touches = [(step, why) for step, why in evening.crossed if step.touch]
        gone = [(_evening_name(evening), work)] if work else []
        gone += [(touch_name(shelf, step), [(step, why)]) for step, why in touches]
        for name, steps in gone:
            start, end = steps[0][0].planned.start, max(step.planned.end for step, _ in steps)
            event = _event(shelf, plan, name, start, end, made)
            if str(event["UID"]) in known:
                continue
            what = ", ".join(f"{step.kind} {step.subject}" for step, _ in steps)
            event.add("summary", _line(f"{CANCELLED}{what}"))
            event.add("description", _text([*dict.fromkeys(why for _, why in steps), _plan_line(plan)]))
            event["STATUS"] = icalendar.vText("CANCELLED")
            yield event


def _evening_name(evening: Evening) -> str:
    return f"evening {evening.day.isoformat()}"


def _events(shelf: Shelf, plan: Plan, made: datetime, stale: str | None) -> Iterator[icalendar.Event]:
    dates = tuple(song_dates(shelf, plan, made).values())
    for evening in (one.as_worked for one in evenings(shelf, plan, made)):
        work = [step for step in evening.steps if not step.touch]
        if work:
            yield _evening_event(shelf, plan, evening, work, dates, made, stale)
        touches = [step for step in evening.steps if step.touch]
        for step in touches:
            more = (
                []
                if work
                else _chamber_day(shelf, plan, evening, first=step is touches[0], last=step is touches[-1])
            )
            yield _touch_event(shelf, plan, evening, step, made, stale, more)


def _chamber_day(shelf: Shelf, plan: Plan, evening: Evening, *, first: bool, last: bool) -> list[str]:
    """A day of touches alone: the first tells until when somebody is home, the last what to do at its end."""
    told = [f"Chamber only: {evening.chamber_only}."] if first else []
    return [*told, *(_before_you_leave(shelf, plan, evening) if last else ())]


def _before_you_leave(shelf: Shelf, plan: Plan, evening: Evening) -> list[str]:
    look = closing(shelf, plan, evening.steps, evening.end, as_planned=True)
    return [f"Before you leave: {line}" for line in look.lines]


def _lapse_event(shelf: Shelf, plan: Plan, lapse: Lapse, made: datetime) -> icalendar.Event:
    """The moment at which a reel may not be played any more; it rings seven, two and one day before."""
    event = _event(shelf, plan, f"lapse {lapse.reel}", lapse.until, lapse.until, made)
    event.add("summary", _line(f"{lapse.reel} may not be played any more"))
    event.add("description", _text([lapse.dated, _plan_line(plan)]))
    event.add("transp", "TRANSPARENT")
    for days, words in ((SOON_DAYS, "in seven days"), (NEAR_DAYS, "in two days"), (1, "tomorrow")):
        says = f"{lapse.reel} plays only until {short_moment(lapse.until)}: {words}"
        _alarm(event, days * 24 * 60, says)
    return event


def _evening_event(
    shelf: Shelf,
    plan: Plan,
    evening: Evening,
    work: list[Step],
    dates: Sequence[SongDate],
    made: datetime,
    stale: str | None,
) -> icalendar.Event:
    start, end = work[0].planned.start, max(step.planned.end for step in work)
    plays = [step.subject for step in work if step.kind == "transfer"]
    if plays:
        summary = f"Tapes: transfer {', '.join(plays)}"
    else:
        summary = f"Tapes: {headline(work[0])}" + (" and more" if len(work) > 1 else "")
    lines = [
        f"{clock(step.planned.start, offset_of=start)} {headline(step, evening.standing(step))}"
        + _rests(shelf, plan, step)
        + _hours_told(shelf, plan, step)
        + (f" ({dry})" if (dry := _dry(shelf, plan, evening, step)) else "")
        + (
            f" ({cools})"
            if step.item and (cools := at_its_time(shelf, plan, step.item, step.planned.start))
            else ""
        )
        for step in evening.steps
    ]
    if evening.day in days_without(shelf, plan):
        lines.append("The helper is not needed: tell them.")
    lines += [f"NOT: {step.kind} {step.subject}, {why}" for step, why in evening.crossed]
    lines += [evening.without[step.key] for step in work if step.key in evening.without]
    lines += [
        song_line(date)
        for date in dates
        if date.planned is not None and evening_of(date.planned) == evening.day
    ]
    winds = winds_behind(shelf, plan, evening.day, evening.steps)
    lines += [f"If there is time: {wind_told(shelf, one)}" for one in winds]
    lines += _before_you_leave(shelf, plan, evening)
    event = _event(shelf, plan, _evening_name(evening), start, end, made)
    event.add("summary", _line(summary))
    event.add("description", _text([*([stale] if stale else []), *lines, _plan_line(plan)]))
    helped = any(item.full and _helped(shelf, item.deck) for item in evening.items("align"))
    _alarm(event, BEFORE_EVENING_MINUTES, _rings(work) + ("; the helper comes" if helped else ""))
    return event


def _rings(work: list[Step]) -> str:
    """What the phone says before an evening: what comes first, then each transfer, at their own times."""
    first, *more = work
    begins = f"Tapes from {first.planned.start:%H:%M}: {headline(first)}"
    plays = [f"{one.subject} at {one.planned.start:%H:%M}" for one in more if one.kind == "transfer"]
    if plays:
        return f"{begins}; transfer {', '.join(plays)}"
    return begins + (" and more" if more else "")


def _rests(shelf: Shelf, plan: Plan, step: Step) -> str:
    """What a step is for, or takes for granted, in brackets."""
    if step.item is None:
        return ""
    words = what_for(shelf, plan, step.item) if step.kind == "align" else provisional(step.item.assumes)
    return f" ({words})" if words else ""


def _hours_told(shelf: Shelf, plan: Plan, step: Step) -> str:
    """That a tape to be played is to be looked at first, or left the warmth too early, no load before it.

    Of a look or a repair: how a tape is handled that may have mould.
    """
    if step.kind in OPENED:
        care = handled(shelf, step.subject).removeprefix(f"{step.subject} ")
        return f" ({care})" if care else ""
    reel = shelf.reels.get(step.subject) if step.kind in ("transfer", "audition") else None
    loads = (one for one in plan.items if one.kind == "condition" and step.subject in one.reels)
    again = any(one.start < step.planned.start for one in loads)
    short = short_hours(shelf, reel) if reel is not None and not again else None
    look = look_in_short(shelf, step.subject) if reel is not None else ""
    told = [f"it {short.says}: look at the outermost turns first"] if short else []
    told += [f"it {look}: look at it first"] if look else []
    return f" ({'; '.join(told)})" if told else ""


def _dry(shelf: Shelf, plan: Plan, evening: Evening, step: Step) -> str:
    """That a repair is done dry, beside a chamber that is warm."""
    when = step.planned
    return warm_beside(shelf, plan, when.start, when.end, evening.empty) if step.kind == "repair" else ""


def _helped(shelf: Shelf, deck: str) -> bool:
    found = shelf.studio.deck(deck)
    return found is not None and found.setup_needs_helper


def _touch_event(
    shelf: Shelf,
    plan: Plan,
    evening: Evening,
    step: Step,
    made: datetime,
    stale: str | None,
    more: Sequence[str] = (),
) -> icalendar.Event:
    standing = evening.standing(step)
    summary = headline(step, standing)
    lines = list(details(shelf, step, plan, evening.empty))
    if standing is not None:
        now = out_now(shelf)
        for reel in {**standing.before, **standing.after}:
            if reel in now:
                lines.append(f"{reel}: to come out at once")
                continue
            before, after = standing.before.get(reel), standing.after.get(reel)
            where = (
                "out"
                if after is None
                else f"place {after}" + (", over" if before and before != after else "")
            )
            lines.append(f"{reel}: {f'place {before}' if before else 'shelf'} to {where}")
    without = evening.without.get(step.key)
    lines += [*([without] if without else []), *more]
    begins, ends = step.planned.start, step.planned.end
    event = _event(shelf, plan, touch_name(shelf, step), begins, ends, made)
    event.add("summary", _line(summary))
    event.add("description", _text([*([stale] if stale else []), *lines, _plan_line(plan)]))
    _alarm(event, BEFORE_TOUCH_MINUTES, f"In {BEFORE_TOUCH_MINUTES} min: {summary}")
    _alarm(event, 0, f"Now: {summary}")
    return event


def _event(
    shelf: Shelf, plan: Plan, name: str, start: datetime, end: datetime, made: datetime
) -> icalendar.Event:
    event = icalendar.Event()
    event.add("uid", f"{uuid.uuid5(_NAMES, f'{shelf.studio.name}/{shelf.name}/{name}')}@reelturn")
    event.add("dtstamp", made.astimezone(UTC))
    event.add("last-modified", made.astimezone(UTC))
    event.add("sequence", sequence(shelf, plan))
    event.add("dtstart", _moment(start))
    if end > start:
        event.add("dtend", _moment(end))
    event.add("status", "CONFIRMED")
    return event


def sequence(shelf: Shelf, plan: Plan) -> int:
    """The revision of an event: it never falls, whatever was struck out of the plan and taken back since."""
    return 2 * plan.number + shelf.revision


def _moment(moment: datetime) -> datetime:
    """In the studio's zone; in UTC where the clock shows that time once more, which a zone cannot say."""
    return moment.astimezone(UTC) if moment.fold else moment


def _cancelled(event: icalendar.Event, shelf: Shelf, plan: Plan) -> icalendar.Event:
    event["STATUS"] = icalendar.vText("CANCELLED")
    event["SEQUENCE"] = icalendar.vInt(sequence(shelf, plan))
    event["SUMMARY"] = icalendar.vText(f"{CANCELLED}{event['SUMMARY']}")
    event.subcomponents.clear()
    return event


def _alarm(event: icalendar.Event, minutes: int, says: str) -> None:
    alarm = icalendar.Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", _line(says))
    alarm.add("trigger", timedelta(minutes=-minutes))
    event.add_component(alarm)


def _plan_line(plan: Plan) -> str:
    number = f"plan {plan.number}" if plan.number else "a plan without a number"
    return f"By {number}, made {short_moment(plan.made_at or plan.start)}."


def _line(text: str) -> str:
    return " ".join(cleaned(text).split())


def _text(lines: list[str]) -> str:
    return "\n".join(_line(line) for line in lines)
