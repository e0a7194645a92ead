"""A plan cut into evenings: the rows that a work order lists, in the order in which they are worked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from datetime import date, datetime

from core.clock import Span, evening_of
from core.conditioning.loads.places import Standing
from core.conditioning.loads.places_now import places_of_item
from core.conditioning.loads.trial import EmptyRun, empty_runs
from core.evening.tonight.line_ups import stood_before
from core.evening.tonight.planned_step import done_elsewhere
from core.evening.tonight.runsheet import evening_span, planned_steps
from core.evening.tonight.sheet import Step
from core.evening.warming.warm import until_of
from core.logbook.steps import taken
from core.plan import Item, Plan
from core.shelf import Shelf
from core.standing.of_plan.still import left_of_plan, struck_words
from core.standing.of_plan.struck import Struck
from core.studio.opening import opening
from core.values import dataclass
from core.words import day_text


@dataclass(frozen=True, slots=True)
class Evening:
    """One evening of a plan: its date, its steps in order, the loads touched, when it is worked."""

    day: date
    steps: tuple[Step, ...]
    standings: Mapping[tuple[str, datetime], Standing]
    bench: tuple[Span, ...]
    loud: tuple[Span, ...]
    helper: tuple[Span, ...]
    crossed: tuple[tuple[Step, str], ...] = ()
    """Steps of the plan that must not be done any more, each with the reason; they are in no other list."""
    without: Mapping[str, str] = field(default_factory=dict)
    """Why, by the step's key, one of its reels is struck out of a step of which something is left."""
    out_of: Mapping[tuple[str, datetime], Mapping[str, str]] = field(default_factory=dict)
    """By chamber and start, the reels that are struck out of a load of which something is left, and why."""

    empty: tuple[EmptyRun, ...] = ()
    """The chambers that can be run empty that evening, before their first load."""
    done: Mapping[str, datetime | None] = field(default_factory=dict)
    """By key, the steps that are done, and when; None where something else than the step told it."""

    @property
    def to_do(self) -> Evening:
        """The evening without what is done of it; the whole of it where nothing else is left."""
        left = tuple(step for step in self.steps if step.key not in self.done)
        return replace(self, steps=left) if left else self

    @property
    def as_worked(self) -> Evening:
        """The evening without what was done on another one; the whole of it where nothing else is left."""
        left = tuple(step for step in self.steps if self.done.get(step.key, step) is not None)
        return replace(self, steps=left) if left else self

    @property
    def start(self) -> datetime:
        """When its first step begins; an empty run, where it has no other."""
        return min(span.start for span in self._spans)

    @property
    def end(self) -> datetime:
        """When its last step ends; an empty run, where it has no other."""
        return max(span.end for span in self._spans)

    @property
    def _spans(self) -> tuple[Span, ...]:
        steps = tuple(step.planned for step in (*self.steps, *(one for one, _ in self.crossed)))
        runs = ((one.start, one.end) for one in self.empty)
        return steps or tuple(
            Span(start, end) for start, end in runs if start is not None and end is not None
        )

    def items(self, kind: str) -> tuple[Item, ...]:
        """Its items of one kind, in order."""
        return tuple(step.item for step in self.steps if step.kind == kind and step.item is not None)

    @property
    def loads(self) -> tuple[Item, ...]:
        """The chamber loads that are touched, each once, in order."""
        loads: dict[tuple[str, datetime], Item] = {}
        for step in self.steps:
            if step.touch and step.item is not None:
                loads.setdefault((step.item.chamber, step.item.start), step.item)
        return tuple(loads.values())

    @property
    def chamber_only(self) -> str:
        """On a day without other work: its first touch, and until when somebody is home; empty on others."""
        touches = [step for step in self.steps if step.touch]
        if not touches or len(touches) < len(self.steps):
            return ""
        until = max(until_of(load) for load in self.loads)
        day = "" if until.date() == self.day else f"{day_text(until.date())} "
        first = f"first {touches[0].kind} {touches[0].planned.start:%H:%M}"
        return f"{first}, somebody home and awake until {day}{until:%H:%M}"

    def struck_from(self, load: Item) -> Mapping[str, str]:
        """The reels that are struck out of that load, each with the reason."""
        return self.out_of.get((load.chamber, load.start), {})

    def standing(self, step: Step) -> Standing | None:
        """Where the reels of a chamber lie before and after that touch; None for other steps."""
        return self.standings.get((step.subject, step.planned.start)) if step.touch else None


def evenings(
    shelf: Shelf, plan: Plan, now: datetime | None = None, *, runs_alone: bool = False
) -> tuple[Evening, ...]:
    """Every evening on which the plan has something to do, in order; what is struck out is told apart.

    ``now`` is the moment of which it is told, as that of printing; ``runs_alone``: an evening that has a
    chamber's empty run alone, which no plan holds, is one too.
    """
    left, out = left_of_plan(shelf, plan, now)
    starts = [item.start for item in plan.items if item.kind != "condition"]
    starts += [touch.start for item in plan.items for touch in item.touches]
    empty = empty_runs(shelf, left, plan.start if now is None else max(plan.start, now))
    starts += [one.start for one in empty if one.start is not None and runs_alone]
    days = sorted({evening_of(start) for start in starts})
    found = (
        replace(
            _evening(shelf, left, day, plan, out, now),
            empty=tuple(one for one in empty if one.start is not None and evening_of(one.start) == day),
        )
        for day in days
    )
    return tuple(one for one in found if one.steps or one.crossed or (runs_alone and one.empty))


def _evening(
    shelf: Shelf, plan: Plan, day: date, whole: Plan, out: tuple[Struck, ...], now: datetime | None
) -> Evening:
    span = evening_span(day, plan.start)
    why: dict[int, list[Struck]] = {}
    for one in out:
        why.setdefault(id(one.item), []).append(one)
    hit = [step for step in planned_steps(whole, span) if id(step.item) in why] if out else []
    kept = {step.key for step in planned_steps(plan, span)}
    told = {step.key: struck_words(why[id(step.item)], some_left=step.key in kept) for step in hit}
    out_of = {
        (step.item.chamber, step.item.start): {one.reel: one.why for one in why[id(step.item)]}
        for step in hit
        if step.touch and step.item is not None
    }
    moments = {(step.subject, step.planned.start) for step in planned_steps(plan, span) if step.touch}
    crossed = [
        (step, told[step.key])
        for step in hit
        if step.key not in kept and (step.subject, step.planned.start) not in moments
    ]
    stands = _standing(shelf, plan, span, plan.start if now is None else max(plan.start, now))
    left = [step for step in planned_steps(plan, span) if step.key not in stands]
    steps = sorted(left, key=lambda step: (step.planned.start, not step.touch, step.planned.end))
    return Evening(
        day,
        tuple(steps),
        _standings(shelf, plan, steps),
        opening(shelf.studio, "bench", span.start, span.end),
        opening(shelf.studio, "loud", span.start, span.end),
        opening(shelf.studio, "helper", span.start, span.end),
        tuple(crossed),
        {key: words for key, words in told.items() if key in kept},
        out_of,
        done=dict(_done(shelf, steps, span)),
    )


def _done(shelf: Shelf, steps: Sequence[Step], span: Span) -> Iterator[tuple[str, datetime | None]]:
    """The work of an evening that is done; a chamber's touches are told where its places are."""
    told = taken(shelf)
    for step in steps:
        one = told.get(step.key)
        if step.touch:
            continue
        if one is not None and one.state == "done":
            at = one.finished
            yield step.key, at if at is not None and span.start <= at < span.end else None
        elif done_elsewhere(step, shelf):
            yield step.key, None


def _standing(shelf: Shelf, plan: Plan, span: Span, now: datetime) -> set[str]:
    """The line-ups that need not be made: the first of a deck that stood so already, until now."""
    first: dict[str, Step] = {}
    done = {key for key, one in taken(shelf).items() if one.state == "done"}
    for step in planned_steps(plan, span) if span.start <= now else ():
        if step.kind == "align" and step.key not in done:
            first.setdefault(step.subject, step)
    return {step.key for step in first.values() if stood_before(step, shelf, now)}


def _standings(shelf: Shelf, plan: Plan, steps: list[Step]) -> dict[tuple[str, datetime], Standing]:
    touched = {id(step.item): step.item for step in steps if step.touch and step.item is not None}
    found: dict[tuple[str, datetime], Standing] = {}
    for load in touched.values():
        for one in places_of_item(shelf, load):
            found[load.chamber, one.at] = one
    return found
