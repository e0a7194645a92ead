"""What a new plan changes of the evenings to come: step by step, against the plan before it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from core.clock import evening_of
from core.evening.tonight.sheet import Step
from core.paper.look.evenings import evenings
from core.plan import Plan
from core.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Change:
    """One step that is not where it was; ``was`` or ``now`` is None where it was not, or is not, planned."""

    was: Step | None
    now: Step | None

    @property
    def step(self) -> Step:
        """The step as it is now, else as it was."""
        step = self.now or self.was
        assert step is not None
        return step

    @property
    def days(self) -> frozenset[date]:
        """The evenings that it touches: the one it left and the one it came to."""
        return frozenset(evening_of(step.planned.start) for step in (self.was, self.now) if step is not None)


def changes(shelf: Shelf, old: Plan, new: Plan) -> dict[date, tuple[Change, ...]]:
    """By evening, in order, what changed there; steps that began before the new plan are left alone."""
    found = list(_changes(shelf, old, new))
    days = sorted({day for change in found for day in change.days})
    return {day: tuple(sorted((c for c in found if day in c.days), key=_when)) for day in days}


def _when(change: Change) -> tuple[object, ...]:
    step = change.step
    return (step.planned.start, step.kind, step.subject)


def _changes(shelf: Shelf, old: Plan, new: Plan) -> Iterator[Change]:
    before, after = _by_name(shelf, old, new), _by_name(shelf, new, new)
    for name in dict.fromkeys([*before, *after]):
        was, now = before.get(name, []), after.get(name, [])
        left = [step for step in was if not any(_same(step, other) for other in now)]
        came = [step for step in now if not any(_same(step, other) for other in was)]
        for at in range(max(len(left), len(came))):
            yield Change(left[at] if at < len(left) else None, came[at] if at < len(came) else None)


def _by_name(shelf: Shelf, plan: Plan, new: Plan) -> dict[tuple[str, ...], list[Step]]:
    found: dict[tuple[str, ...], list[Step]] = {}
    for evening in evenings(shelf, plan):
        for step in evening.steps:
            if step.planned.start >= new.start:
                found.setdefault(_name(step), []).append(step)
    return found


def _name(step: Step) -> tuple[str, ...]:
    """What makes two steps the same piece of work: never its time."""
    item = step.item
    if step.touch:
        return (step.kind, step.subject, *step.reels)
    return (step.kind, step.subject, item.segment if item else "", item.setup_text if item else "")


def _same(one: Step, other: Step) -> bool:
    decks = [step.item.deck if step.item else "" for step in (one, other)]
    return one.planned == other.planned and decks[0] == decks[1]
