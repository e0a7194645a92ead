"""A plan cut into evenings: the rows that a work order lists, in the order in which they are worked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from core.clock import Span
from core.conditioning.places import Standing, standings
from core.evening.runsheet import Step, evening_of, evening_span, planned_steps
from core.plan import Item, Plan
from core.shelf import Shelf
from core.studio.opening import opening


@dataclass(frozen=True, slots=True)
class Evening:
    """One evening of a plan: its date, its steps in order, the loads touched, when it is worked."""

    day: date
    steps: tuple[Step, ...]
    standings: Mapping[tuple[str, datetime], Standing]
    bench: tuple[Span, ...]
    loud: tuple[Span, ...]
    helper: tuple[Span, ...]

    @property
    def start(self) -> datetime:
        """When its first step begins."""
        return self.steps[0].planned.start

    @property
    def end(self) -> datetime:
        """When its last step ends."""
        return max(step.planned.end for step in self.steps)

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

    def standing(self, step: Step) -> Standing | None:
        """Where the reels of a chamber lie before and after that touch; None for other steps."""
        return self.standings.get((step.subject, step.planned.start)) if step.touch else None


def evenings(shelf: Shelf, plan: Plan) -> tuple[Evening, ...]:
    """Every evening on which the plan has something to do, in order."""
    starts = [item.start for item in plan.items if item.kind != "condition"]
    starts += [touch.start for item in plan.items for touch in item.touches]
    days = sorted({evening_of(start) for start in starts})
    return tuple(_evening(shelf, plan, day) for day in days)


def _evening(shelf: Shelf, plan: Plan, day: date) -> Evening:
    span = evening_span(day, plan.start)
    steps = sorted(
        planned_steps(plan, span), key=lambda step: (step.planned.start, not step.touch, step.planned.end)
    )
    return Evening(
        day,
        tuple(steps),
        _standings(shelf, plan, steps),
        opening(shelf.studio, "bench", span.start, span.end),
        opening(shelf.studio, "loud", span.start, span.end),
        opening(shelf.studio, "helper", span.start, span.end),
    )


def _standings(shelf: Shelf, plan: Plan, steps: list[Step]) -> dict[tuple[str, datetime], Standing]:
    touched = {id(step.item): step.item for step in steps if step.touch and step.item is not None}
    found: dict[tuple[str, datetime], Standing] = {}
    for load in touched.values():
        chamber = shelf.studio.chamber(load.chamber)
        if chamber is None:
            continue
        for one in standings(load, chamber, shelf.reels):
            found[load.chamber, one.at] = one
    return found
