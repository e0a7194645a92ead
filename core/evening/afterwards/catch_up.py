"""Steps that were done, or not, and never marked: of tonight until now, and of the evenings before."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Literal

from core.clock import at_wall, evening_of, later
from core.errors import ReelturnError, Refused
from core.evening.afterwards.by_paper import by_paper
from core.evening.afterwards.left_running import nobody_was_there
from core.evening.tonight.runsheet import evening_span, run_sheet
from core.evening.tonight.sheet import RunSheet, Step
from core.evening.tonight.steps import finish_step, skip_step, words
from core.evening.tonight.transfer import gate
from core.plan import Plan
from core.reels.needs import inspect_first
from core.shelf import Shelf
from core.values import dataclass

#: Done at its times; not done and still to be done; not done, and not to be planned again this evening.
How = Literal["done", "moved", "left"]
_OPEN = ("waiting", "running")
#: Why a look that is told as done is left: the next plan would take it up again for the same reason.
UNSEEN = "not done: nobody told its condition"


@dataclass(frozen=True, slots=True)
class Caught:
    """What became of a step: ``done`` at its true times, ``moved`` or ``left`` without any.

    ``because`` is why a verify is done whose captures leave a doubt, or why a step is moved.
    """

    step: Step
    how: How
    started: datetime | None = None
    finished: datetime | None = None
    because: str = ""


def behind(sheet: RunSheet, now: datetime) -> tuple[Step, ...]:
    """The steps of that evening that were to be over by now and are not marked, in their order.

    What lies in a chamber tells its own touches: those of a load that waits for it are not asked for.
    """
    still = [step for step in sheet.steps if step.state in _OPEN]
    taken_up = {step.subject for step in still if step.touch and step.item is None}
    late = [
        step for step in still
        if step.planned.end <= now
        and not (step.kind in ("turn", "take out") and step.item is not None and step.subject in taken_up)
    ]  # fmt: skip
    return tuple(sorted(late, key=lambda step: (step.planned.start, not step.touch)))


def unmarked(
    shelf: Shelf, plan: Plan | None, now: datetime, touches: Sequence[Step] = ()
) -> tuple[Step, ...]:
    """The steps of the plan's earlier evenings that nobody marked, a load that never began above all.

    Turns and take-outs of loads that run are told by the loads (``touches``): they ring until they are done.
    """
    if plan is None:
        return ()
    found: list[Step] = []
    for day in _days(evening_of(plan.start), evening_of(now)):
        span = evening_span(day, at_wall(day, 12 * 60, shelf.studio.zone))
        then = later(span.end, minutes=-1)  # by then a load that was begun is in
        mine = [one for one in touches if span.start <= one.planned.start < span.end]
        rung = {one.key for one in mine}
        sheet = run_sheet(shelf, plan, then, mine)
        found += [
            step
            for step in sheet.steps
            if step.state in _OPEN and (step.kind not in ("turn", "take out") or step.key in rung)
        ]
    return tuple(sorted(found, key=lambda step: (step.kind != "load", step.planned.start)))


def never_began(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Those of them that are loads: their reels wait for warmth still."""
    return tuple(step for step in steps if step.kind == "load" and step.state == "waiting")


def caught_up(
    shelf: Shelf,
    told: Sequence[Caught],
    because: str = "",
    asked: Callable[[Caught, str], None] = lambda one, why: None,
    now: datetime | None = None,
) -> Shelf:
    """The shelf with all of that marked at ``now``, in the order in which it happened, as one change.

    A step whose gate is not met takes ``because``, a verify its own reason alone, since one reason proves no
    two captures; ``asked`` is told of each. Refused with the step named.
    A look after which nobody knows the tape's condition is left, whatever is told of it.
    """
    before = shelf
    for one in sorted(told, key=_when):
        try:
            if one.how == "done":
                shelf = _done(shelf, one, because, asked)
            else:
                left = one.how == "left"
                why = f"not done: {one.because or ('left out' if left else 'still to do')}"
                shelf = skip_step(shelf, one.step, now or one.step.planned.end, why, tonight=left)
        except ReelturnError as error:
            raise Refused(f"{words(one.step)}: {error}") from error
    return shelf if now is None else nobody_was_there(before, shelf, now)


def unseen(shelf: Shelf, told: Sequence[Caught]) -> tuple[str, ...]:
    """The tapes of the looks told as done of which nobody knows the condition: a look is what tells it."""
    looks = (one.step.subject for one in told if one.how == "done" and one.step.kind == "identify")
    return tuple(key for key in looks if key in shelf.reels and inspect_first(shelf.reel(key)))


def reasons_wanted(shelf: Shelf, told: Sequence[Caught]) -> tuple[tuple[Caught, str], ...]:
    """What is done though its gate is not met on the way, and why not; Refused for what no reason passes."""
    found: list[tuple[Caught, str]] = []
    later_on = "asked for later"
    given = [replace(one, because=one.because or later_on) if one.how == "done" else one for one in told]
    caught_up(shelf, given, later_on, lambda one, why: found.append((told[given.index(one)], why)))
    return tuple(found)


def _done(shelf: Shelf, one: Caught, because: str, asked: Callable[[Caught, str], None]) -> Shelf:
    finished = one.finished or one.step.planned.end
    if unseen(shelf, [one]):
        return skip_step(shelf, one.step, finished, UNSEEN)
    began = one.started or (finished if one.step.touch else None)
    why = gate(shelf, one.step, began if one.step.kind == "load" and began else finished)
    if why is not None:
        asked(one, why)
    mine = one.because if one.step.kind == "verify" else because
    reason = mine if why is not None else ""
    if one.step.touch and began is not None:
        return finish_step(shelf, replace(one.step, started=began), began, reason)
    return by_paper(shelf, one.step, one.started, finished, reason)


def _when(one: Caught) -> datetime:
    return one.started or one.finished or one.step.planned.start


def _days(first: date, last: date) -> Iterator[date]:
    """The days from the first on, the last one not among them."""
    while first < last:
        yield first
        first += timedelta(days=1)
