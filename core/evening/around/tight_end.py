"""What the slack alone keeps out of an evening's end fits by its own minutes: offered, with its risk.

The plan keeps the last part of every bench window free, so that the evening ends when it was to. Whoever
stands there with nothing left to do may use it: a step of a later evening that could begin now is shown as
one that fits, tight. It stays planned where it is until it is begun. Behind them stand the slow winds of
tapes that play later: no plan has time for these.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, datetime
from fractions import Fraction
from math import ceil

from core.clock import Span, grid_ceiling, later, minutes_between
from core.evening.tonight.hours_asked import outside_hours
from core.evening.tonight.planned_step import step_key
from core.evening.tonight.runsheet import evening_span
from core.evening.tonight.sheet import OFFERED, WIND, RunSheet, Step
from core.evening.tonight.slow_wind import wind_before
from core.evening.tonight.steps import deck_of_step, words
from core.evening.tonight.transfer import transfer_of
from core.plan import REACHES, Plan
from core.reels.needs import needs_repair
from core.reels.winding import no_fast_wind
from core.shelf import Shelf
from core.standing.gates import not_inspected, ready_to_play, unmet
from core.standing.not_tonight import left_out_until
from core.standing.of_plan.still import left_of_plan
from core.studio.opening import opening
from core.words import day_text

MOST = 3
"""How many such steps are offered at once, and how many slow winds behind them."""


def with_offers(sheet: RunSheet, shelf: Shelf, plan: Plan | None, now: datetime) -> RunSheet:
    """The sheet with what still fits into the slack behind it, where no work of tonight is left.

    Tapes that were in the hands tonight come first: nothing of them is to be fetched.
    """
    window = next((span for span in sheet.bench if span.start <= now < span.end), None)
    if plan is None or window is None or _at_work(sheet):
        return sheet
    in_hand = {one.subject for one in sheet.steps if one.handled}
    offers = sorted(_offers(sheet, shelf, plan, now, window), key=lambda one: one.subject not in in_hand)
    tonight = [one for one in sheet.waiting if one.kind == "transfer" and not one.fits]
    winds = _winds(shelf, (*tonight, *_later_steps(sheet.day, shelf, plan, now)), now, window)
    return replace(sheet, steps=(*sheet.steps, *offers[:MOST], *winds))


def risk_words(step: Step, sheet: RunSheet) -> tuple[str, ...]:
    """Until when it would go, what the evening then has left, and what becomes of it should it run over."""
    end = step.expected.end if step.expected is not None else step.planned.end
    over = next((span.end for span in sheet.bench if span.start <= end <= span.end), end)
    spare = round(minutes_between(end, over))
    if step.kind == WIND:
        return (f"{spare} min spare then; a wind that is not over stands on two reels overnight",)
    if step.kind in ("transfer", "audition"):
        then = f"a tape that is not over by {over:%H:%M} stands on two reels overnight"
    else:
        then = f"what is not over by {over:%H:%M} is left half done"
    return f"{spare} min spare then: {then}", f"until it is begun it stays planned for {_day(step)}"


def only_offered(step: Step) -> str:
    """That a step is only offered, so that it cannot be left out; empty for one that is planned tonight."""
    if step.state != OFFERED:
        return ""
    if step.kind == WIND:
        return f"{words(step)} is only offered: no plan holds it, and its tape plays {_day(step)}"
    return f"{words(step)} is only offered tonight: it stays planned for {_day(step)}"


def _day(step: Step) -> str:
    return f"{day_text(step.planned.start.date())} {step.planned.start:%H:%M}"


def tight_words(step: Step) -> str:
    """``fits, tight: until 21:40``; of a slow wind ``fits: until 21:40``."""
    fits = "fits" if step.kind == WIND else "fits, tight"
    return f"{fits}: until {step.expected.end:%H:%M}" if step.expected is not None else fits


def wind_told(shelf: Shelf, wind: Step) -> str:
    """One as paper offers it: ``wind R-002 on D1, no fast winding: 32 min ...; plays Wed 2 Dec 19:15``."""
    slowly = no_fast_wind(shelf.reel(wind.subject), shelf.studio, shelf.own_stocks())
    return f"{words(wind)} on {deck_of_step(wind)}, {slowly}; {else_words(wind)}"


def else_words(step: Step) -> str:
    """What becomes of it else: ``else Wed 2 Dec 19:00``; of a slow wind ``plays Wed 2 Dec 19:00``."""
    return f"{'plays' if step.kind == WIND else 'else'} {_day(step)}"


def _at_work(sheet: RunSheet) -> bool:
    """True while work of tonight runs, or waits and has room."""
    work = [one for one in sheet.steps if not one.touch]
    return any(one.state == "running" or (one.state == "waiting" and one.fits) for one in work)


def _offers(sheet: RunSheet, shelf: Shelf, plan: Plan, now: datetime, window: Span) -> Iterator[Step]:
    """The later steps that could begin now and end in the slack, of each reel its first."""
    share = shelf.studio.comfort.slack if plan.slack is None else Fraction(str(plan.slack))
    grid = shelf.studio.minutes.grid
    kept = ceil(minutes_between(window.start, window.end) * share / grid) * grid
    begins, free = grid_ceiling(now, grid), later(window.end, minutes=-kept)
    seen = {key for key, _ in left_out_until(shelf, now)}
    seen |= {one.subject for one in sheet.steps if one.state in ("waiting", "running", "skipped", "struck")}
    touches = [one.expected or one.planned for one in sheet.waiting if one.touch]
    for step in _later_steps(sheet.day, shelf, plan, now):
        span = step.expected or step.planned
        alone = all(one.end <= span.start or one.start >= span.end for one in touches)
        # A plan begins its steps on the grid: what it could have now ends later than it would by hand.
        tight = free < later(begins, minutes=span.minutes) and span.end <= window.end
        if step.subject not in seen and tight and alone and _may_begin(shelf, step, now):
            yield step
        seen.add(step.subject)


def winds_behind(shelf: Shelf, plan: Plan, day: date, work: Iterable[Step]) -> tuple[Step, ...]:
    """The slow winds for which that evening has time behind its work, were it done as planned: for paper.

    Of tapes that were seen to lie tails out only: one that lies heads out would be wound off its reel.
    """
    over = max((one.planned.end for one in work if not one.touch), default=None)
    span = evening_span(day, plan.start)
    bench = opening(shelf.studio, "bench", span.start, span.end) if over is not None else ()
    window = next((one for one in bench if over is not None and one.start <= over < one.end), None)
    if over is None or window is None:
        return ()
    seen = (one for one in _later_steps(day, shelf, plan, over) if shelf.reel(one.subject).wind)
    return _winds(shelf, seen, over, window)


def _winds(shelf: Shelf, later_on: Iterable[Step], now: datetime, window: Span) -> tuple[Step, ...]:
    """The slow winds of tapes that play later, or had no room tonight, and that end while one is here."""
    found: dict[str, Step] = {}
    for transfer in (one for one in later_on if one.kind == "transfer"):
        wind = wind_before(shelf, transfer, now) if transfer.subject not in found else None
        if wind is not None and wind.expected is not None and wind.expected.end <= window.end:
            reel = shelf.reel(wind.subject)
            bar = ready_to_play(shelf, reel, now) or not_inspected(reel) or outside_hours(shelf, wind, now)
            found |= {} if bar else {wind.subject: wind}
    return tuple(found.values())[:MOST]


def _later_steps(day: date, shelf: Shelf, plan: Plan, now: datetime) -> Iterator[Step]:
    """What the plan still has with a reel after this evening, laid from now on."""
    over, start = evening_span(day, now).end, now.replace(second=0, microsecond=0)
    for item in sorted(left_of_plan(shelf, plan, now)[0].items, key=lambda one: one.start):
        if item.start < over or not item.reel or item.reel not in shelf.reels:
            continue
        planned = Span(item.start, item.end)
        span = Span(start, later(start, minutes=planned.minutes))
        key = step_key(item.kind, item.reel, item.start)
        step = Step(key, item.kind, item.reel, planned, OFFERED, item=item, reels=item.reels, expected=span)
        if _left(shelf, step):
            yield step


def _left(shelf: Shelf, step: Step) -> bool:
    """Whether that step is still to be done."""
    reel = shelf.reel(step.subject)
    if step.kind == "repair":
        return needs_repair(reel)
    if step.kind == "transfer":
        return bool(transfer_of(shelf, step).left)
    reaches = REACHES.get(step.kind)
    return reel.heard is None if reaches is None else not reel.past(reaches)


def _may_begin(shelf: Shelf, step: Step, now: datetime) -> bool:
    """Whether nothing would be asked of it now: its gate, its hours, its deck as it stands."""
    reel = shelf.reel(step.subject)
    if step.kind == "identify":
        return not reel.chamber
    if step.kind == "verify":
        return reel.stage == "transferred"
    if step.kind == "transfer" and unmet(shelf, reel, "transferred", now) is not None:
        return False
    return ready_to_play(shelf, reel, now) is None and not outside_hours(shelf, step, now)
