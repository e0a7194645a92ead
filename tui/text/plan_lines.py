"""What a new plan says at once: songs and their dates, what moved and why, what is to be done tonight."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from core.clock import evening_of
from core.conditioning.alarms import alarms
from core.conditioning.beyond_published import chamber_first
from core.conditioning.lies_off import lies_off
from core.conditioning.loads.trial import empty_runs
from core.conditioning.spreading.shared_air import look_in_short
from core.conditioning.warmth_in_doubt import doubt_in_short
from core.evening.around.second_heat import second_heats, second_words
from core.evening.around.unset import spared
from core.evening.tonight.helper import days_without, never_there
from core.evening.tonight.runsheet import evening_span, planned_steps
from core.evening.tonight.sheet import Step
from core.evening.warming.overdue import overdue_lines
from core.plan import Plan
from core.shelf import Shelf
from core.songs.when import SongDate, song_line, soonest
from core.words import above_best, counted, day_text, listed
from tui.board.words import clock

SONGS, STEPS, DAYS = 4, 4, 3
"""How many songs, steps of the evening and days are told one by one."""
LOOKS = 3
"""How many tapes to be looked at are told one by one."""
LINES = 10
"""How many lines there are at most, below alarms."""
FAR = 0.1
"""From which share above the best on it is told how to search on."""
LONGER, LONGEST = 30.0, 300.0
"""Seconds of the next search: at least, and at most, above which none is told of."""
_TO_LOOK_AT = ("condition", "align", "audition", "transfer")
_DOES = {"align": "line up", "audition": "hear", "take out": "take out of"}


def plan_lines(
    shelf: Shelf, plan: Plan, dates: Iterable[SongDate], moved: Sequence[str], now: datetime
) -> Iterator[str]:
    """At most ten lines on a plan that was made and kept at ``now``, below what must be done at once.

    What would spare a line-up is told where there is a line for it.
    """
    yield from (f"! {one.says}" for one in alarms(shelf))
    yield from (
        f"! {one}" for one in (*overdue_lines(shelf, now), *(one.command(now) for one in lies_off(shelf)))
    )
    again = second_words(second_heats(shelf, plan, now))
    if again:
        yield f"! {again}"
    yield from _looks(shelf, plan)
    lines = list(_told(shelf, plan, dates, moved, now))
    room = LINES - len(lines)
    more = [*_empty_runs(shelf, plan, now), *_spared(shelf, plan, now)][: max(0, room)]
    yield from (*lines[:-1], *more, lines[-1])


def _looks(shelf: Shelf, plan: Plan) -> Iterator[str]:
    """Which tapes are to be looked at, or their box is to be read, before the plan's steps: one line."""
    steps = [(*item.reels, item.reel, item.calibration) for item in plan.items if item.kind in _TO_LOOK_AT]
    keys = dict.fromkeys(key for some in steps for key in some if key in shelf.reels)
    warmed = {key for item in plan.items if item.kind == "condition" for key in item.reels}
    looks = [f"{key} {look}" for key in keys if (look := look_in_short(shelf, key))]
    doubts = {key: doubt_in_short(shelf, key) for key in keys if key not in warmed}
    looks += [f"{key}: {doubt}" for key, doubt in doubts.items() if doubt]
    chambers = dict.fromkeys(item.chamber for item in plan.items if item.kind == "condition")
    yield from (f"! {one}" for chamber in chambers for one in chamber_first(shelf, chamber))
    if looks:
        more = f" (and {len(looks) - LOOKS} more)" if len(looks) > LOOKS else ""
        yield f"! asked about before it is warmed or runs: {'; '.join(looks[:LOOKS])}{more}"


def _empty_runs(shelf: Shelf, plan: Plan, now: datetime) -> Iterator[str]:
    """That a chamber is run empty before its first load, and on which evening it can be."""
    yield from (one.dated for one in empty_runs(shelf, plan, now))


def _told(
    shelf: Shelf, plan: Plan, dates: Iterable[SongDate], moved: Sequence[str], now: datetime
) -> Iterator[str]:
    """The plan, its songs, what moved, what comes next, and where all of it is told."""
    number = f"plan {plan.number}" if plan.number else "the plan"
    span = f"{day_text(plan.start.date())} to {day_text(plan.until.date())}"
    yield f"{number}, {span}: {above_best(plan.gap)}{_longer(plan)}"
    yield from _songs(list(dates))
    if moved:
        yield f"moved: {moved[0]}"
        rest = len(moved) - 1
        if rest:
            yield f"moved: {moved[1]}" if rest == 1 else f"       and {counted(rest, 'step')} more"
    yield _tonight(plan, now)
    if never := never_there(shelf, plan):
        yield never
    away = days_without(shelf, plan)
    if away:
        days = [day_text(day) for day in away[:DAYS]]
        more = [counted(len(away) - DAYS, "day") + " more"] if len(away) > DAYS else []
        yield f"the helper is not needed on {listed(days + more)}: tell them"
    if slack := [one.why for one in plan.left_over if one.why.startswith("slack ")]:
        yield slack[0].replace("too few for it", f"too few for {counted(len(slack), 'reel')}")
    left = f"{counted(len(plan.left_over), 'reel')} left over; " if plan.left_over else ""
    yield f"{left}reelturn plan --show tells all of it"


def _longer(plan: Plan) -> str:
    """How to search on from a plan that may be far above the best; empty where it is near or was long sought.

    Planning again for as long as before begins no new search.
    """
    seconds = max(LONGER, 3 * plan.searched)
    if plan.gap <= FAR or seconds > LONGEST:
        return ""
    return f"; longer may be better: reelturn plan --days {_days(plan)} --seconds {seconds:g}"


def _days(plan: Plan) -> int:
    return (plan.until.date() - plan.start.date()).days


def _spared(shelf: Shelf, plan: Plan, now: datetime) -> list[str]:
    """The longest line-up that words on the shelf would spare, and how many more there are."""
    could = spared(shelf, plan, now)
    more = f" ({len(could) - 1} more so: plan --show)" if len(could) > 1 else ""
    return [f"{could[0]}{more}"] if could else []


def _songs(dates: list[SongDate]) -> Iterator[str]:
    """The songs that are there first, one a line; the others by count."""
    ahead = sorted((one for one in dates if one.ahead), key=soonest)
    told = SONGS if len(ahead) <= SONGS else SONGS - 1
    yield from (song_line(one) for one in ahead[:told])
    counts = {
        "more planned": len(ahead) - told,
        "not in this plan": sum(one.state == "waiting" and not one.ahead for one in dates),
        "barred": sum(one.state == "barred" for one in dates),
        "ready": sum(one.state == "ready" for one in dates),
    }
    rest = [f"{number} {words}" for words, number in counts.items() if number > 0]
    if rest:
        yield f"songs: {', '.join(rest)}"


def _tonight(plan: Plan, now: datetime) -> str:
    """The steps of the next evening that has any, in one line."""
    starts = [item.start for item in plan.items if item.kind != "condition"]
    starts += [touch.start for item in plan.items for touch in item.touches]
    ahead = [start for start in starts if start >= now]
    if not ahead:
        return "nothing is to be done"
    day = evening_of(min(ahead))
    steps = [step for step in planned_steps(plan, evening_span(day, plan.start)) if step.planned.start >= now]
    steps.sort(key=lambda step: (step.planned.start, not step.touch))
    when = "tonight" if day == evening_of(now) else day_text(day)
    when += f" {clock(steps[0].planned.start)} to {clock(max(step.planned.end for step in steps))}"
    more = [f"{len(steps) - STEPS} more"] if len(steps) > STEPS else []
    return f"{when}: {listed([_step(step) for step in steps[:STEPS]] + more)}"


def _step(step: Step) -> str:
    subject = f"chamber {step.subject}" if step.touch else step.subject
    return f"{_DOES.get(step.kind, step.kind)} {subject}"
