"""The run sheet of one evening: what was planned, what really happened, what still fits.

An evening belongs to the date on which it starts and runs to four in the morning. Planned steps come from the
kept plan; what was done, skipped or is running comes from the ``actual`` records, so that a new plan made in
mid-evening loses nothing of what went before.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from core.clock import NIGHT_ENDS, Span, clock_text, evening_of, later
from core.conditioning.loads.began import load_began
from core.evening.moved_since import moved_away
from core.evening.tonight.heard_otherwise import as_heard, ran_and_waits
from core.evening.tonight.line_ups import without_standing
from core.evening.tonight.planned_step import apart, done_elsewhere, item_step, step_key, told_by_logs
from core.evening.tonight.projected import projected
from core.evening.tonight.sheet import ON_A_DECK, RunSheet, Step, in_order
from core.logbook.passes import played
from core.logbook.steps import StepTaken, taken
from core.plan import Item, Plan, Touch
from core.shelf import Shelf
from core.standing.gates import goes_on
from core.standing.left_to_play import transfer_named
from core.standing.of_plan.still import left_of_plan, struck_words
from core.standing.of_plan.struck import Struck
from core.studio.opening import opening


def evening_span(day: date, moment: datetime) -> Span:
    """From four in the morning of that date to four of the next, in the zone of ``moment``."""
    first = datetime.combine(day, time(NIGHT_ENDS), moment.tzinfo)
    last = datetime.combine(day + timedelta(days=1), time(NIGHT_ENDS), moment.tzinfo)
    return Span(later(first), later(last))


def run_sheet(shelf: Shelf, plan: Plan | None, now: datetime, touches: Sequence[Step] = ()) -> RunSheet:
    """The run sheet of the evening in which ``now`` lies.

    ``touches`` are the next ones of the loads that run, told by the shelf: they stand in place of what was
    planned, since a load put in late is turned and taken out late.
    """
    day = evening_of(now)
    span = evening_span(day, now)
    bench = opening(shelf.studio, "bench", span.start, span.end)
    loud = opening(shelf.studio, "loud", span.start, span.end)
    steps = [
        _step_taken(key, one, now)
        for key, one in taken(shelf).items()
        if any(span.start <= at < span.end for at in (one.planned[0], one.started) if at is not None)
    ]
    if plan is not None:
        known = {step.key for step in steps}
        left, out = left_of_plan(shelf, plan, now, anew=True)
        steps = [_moved_on(shelf, left, step) for step in steps]
        to_do = apart(_not_begun(steps, planned_steps(left, span)), [*steps, *touches])
        steps += [step for step in to_do if step.key not in known]
        known |= {step.key for step in steps} | {touch.key for touch in touches}
        steps += [step for step in _struck(plan, span, out) if step.key not in known]
    steps = _without_what_waits(shelf, steps)
    steps += list(moved_away(shelf, plan, steps, span)) if plan is not None else []
    steps = [_load_is_in(step, now) for step in steps]
    steps = [as_heard(shelf, _not_gone_on(shelf, step, now)) for step in steps]
    steps = _as_things_stand(steps, shelf, [one for one in touches if one.planned.start < span.end])
    steps = told_by_logs(shelf, steps, span)
    steps, stands = without_standing(steps, shelf, now)
    steps.sort(key=lambda step: in_order(step, now))
    return projected(RunSheet(day, tuple(steps), bench, loud, stands), shelf, now)


def _without_what_waits(shelf: Shelf, steps: Sequence[Step]) -> list[Step]:
    """The steps without what ran of a tape that was heard otherwise, where that waits as a row of its own."""
    apart = {key for key, one in taken(shelf).items() if ran_and_waits(key, one)}
    waits = {one.what[:3] for one in steps if one.key not in apart}
    return [one for one in steps if one.key not in apart or one.what[:3] not in waits]


def _struck(plan: Plan, span: Span, out: Sequence[Struck]) -> Iterator[Step]:
    """The planned steps that must not be done any more, each with the reason."""
    for step in planned_steps(plan, span) if out else ():
        mine = [one for one in out if one.item is step.item]
        if mine:
            yield replace(step, state="struck", because=struck_words(mine))


def _not_begun(begun: Sequence[Step], planned: Iterable[Step]) -> Iterator[Step]:
    """The planned steps without those that run already, as a plan made in mid-evening tells them once more.

    A deck that is lined up anew after another set-up is a step of its own, be it to the set-up that runs.
    """
    doing = {step.what for step in begun if step.state == "running"}
    turned: set[str] = set()  # decks that stand on another set-up by then
    for step in sorted(planned, key=lambda one: one.planned.start):
        if step.touch or step.subject in turned or step.what not in doing:
            yield step
        if step.kind == "align" and step.what not in doing:
            turned.add(step.subject)


def _moved_on(shelf: Shelf, plan: Plan, step: Step) -> Step:
    """A transfer whose tape stands, on the way or between passes, and is planned elsewhere now, is over."""
    if step.kind != "transfer" or step.state != "running" or step.subject not in shelf.reels:
        return step
    segment = step.item.segment if step.item is not None else ""
    part = transfer_named(shelf, shelf.reels[step.subject], segment)
    tape = part.stands
    stands = bool(part.done and part.left) if tape is None else tape.state == "stopped"
    if not stands:
        return step
    again = [i for i in plan.items if (i.kind, i.reel, i.segment) == ("transfer", step.subject, segment)]
    if not again or any(item.start == step.planned.start for item in again):
        return step
    goes_on = f"goes on {again[0].start:%a %H:%M}"
    if tape is None:
        ran = (one for one in played(shelf).values() if one.reel == step.subject and not one.void)
        over = max((one.last.stopped or one.last.started for one in ran), default=step.planned.end)
        why = f"{len(part.done)} of {len(part.numbers)} passes, {goes_on}"
    else:
        over = tape.last.stopped or tape.last.started
        why = f"stands at {clock_text(int(tape.last.to or 0.0))} ({tape.last.why}), {goes_on}"
    stopped = over.astimezone(step.planned.start.tzinfo)
    return replace(step, state="skipped", finished=stopped, because=why)


def _not_gone_on(shelf: Shelf, step: Step, now: datetime) -> Step:
    """A transfer whose tape stands stopped and must not run any more is struck out."""
    reel = shelf.reels.get(step.subject)
    if step.kind != "transfer" or step.state != "running" or reel is None:
        return step
    segment = step.item.segment if step.item is not None else ""
    tape = transfer_named(shelf, reel, segment).stands
    why = goes_on(shelf, reel, now)
    if tape is None or tape.state != "stopped" or why is None:
        return step
    last = tape.last
    stopped = (last.stopped or last.started).astimezone(step.planned.start.tzinfo)
    because = f"stands at {clock_text(int(last.to or 0.0))}, does not go on: {why}"
    return replace(step, state="struck", finished=stopped, because=because)


def _load_is_in(step: Step, now: datetime) -> Step:
    """A load is in once the minutes of its touch are over, whether anybody pressed a second key or not."""
    if step.kind != "load" or step.state != "running" or step.started is None:
        return step
    over = later(step.started, minutes=step.planned.minutes)
    return replace(step, state="done", finished=over) if over < now else step


def _as_things_stand(steps: list[Step], shelf: Shelf, touches: Sequence[Step]) -> list[Step]:
    """The steps without touches that the loads themselves tell of, and without work that is done already."""
    tell = {touch.subject for touch in touches}
    inside: dict[str, set[str]] = {}
    for reel in shelf.reels.values():
        if reel.chamber:
            inside.setdefault(reel.chamber, set()).add(reel.key)
    known = {step.key for step in steps if step.state != "waiting"}
    out = [touch for touch in touches if touch.key not in known]
    loads = [step for step in steps if step.kind == "load" and step.state == "waiting"]
    begun = {step.key for step in loads if load_began(shelf, step.subject, step.reels, step.planned.start)}
    steps = [step for step in steps if step.key not in begun]
    told = {step.what for step in steps if step.state == "done" and step.handled}  # at their true times
    for step in steps:
        if step.state != "waiting" or step.kind == "load":
            out.append(step)
        elif step.touch:
            untold = step.subject in inside and step.subject not in tell
            if untold or not _told_by_load(step, steps, inside.get(step.subject, set())):
                out.append(step)
        elif not done_elsewhere(step, shelf):
            out.append(step)
        elif step.what not in told:
            out.append(replace(step, state="done"))
    return out


def _told_by_load(step: Step, steps: Sequence[Step], inside: Collection[str]) -> bool:
    """True for a planned turn or take-out of a load that runs, and tells its own, or that never began.

    One that runs does so whatever other load of its chamber waits behind it.
    """
    if step.item is not None and any(key in inside for key in step.item.reels):
        return True
    loads = (one for one in steps if one.kind == "load" and one.subject == step.subject)
    return not any(one.state == "waiting" and one.planned.start <= step.planned.start for one in loads)


def planned_steps(plan: Plan, span: Span) -> Iterator[Step]:
    """The plan's steps that start in that stretch of time; a chamber load gives one for each touch."""
    for item in plan.items:
        if item.kind == "condition":
            for touch in item.touches:
                if span.start <= touch.start < span.end:
                    yield _touch_step(item, touch)
        elif span.start <= item.start < span.end:
            yield item_step(item)


def _touch_step(item: Item, touch: Touch) -> Step:
    out = tuple(m.reel for m in item.members if m.out == touch.start)
    inside = tuple(m.reel for m in item.members if m.out > touch.start)
    reels = out if touch.do == "take out" else inside
    key = step_key(touch.do, item.chamber, touch.start)
    return Step(key, touch.do, item.chamber, Span(touch.start, touch.end), item=item, reels=reels)


def _step_taken(key: str, one: StepTaken, now: datetime) -> Step:
    def here(moment: datetime | None) -> datetime | None:
        return moment.astimezone(now.tzinfo) if moment is not None else None

    start, end = (moment.astimezone(now.tzinfo) for moment in one.planned)
    return Step(
        key=key,
        kind=one.kind,
        subject=one.subject,
        planned=Span(start, end),
        state=one.state,
        started=here(one.started),
        finished=here(one.finished),
        because=one.because,
        item=_item_of(one, start, end),
        reels=one.reels,
    )


def _item_of(one: StepTaken, start: datetime, end: datetime) -> Item | None:
    """The planned item as far as it was kept: a line-up's set-up, a transfer's deck and passes."""
    if one.kind == "align" and one.setup is not None:
        return Item(
            one.kind, start, end, deck=one.subject, setup=tuple(one.setup.items()),
            calibration=one.calibration, full=one.full, by=one.by,
        )  # fmt: skip
    kind = next((kind for kind in ON_A_DECK if kind == one.kind), None)
    if kind is not None and one.deck:
        return Item(kind, start, end, reel=one.subject, deck=one.deck, passes=one.passes, segment=one.segment)
    return None
