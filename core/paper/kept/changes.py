"""What a new plan changes of the evenings to come: step by step, against the plan before it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date

from core.clock import evening_of
from core.evening.tonight.sheet import TOUCHES, Step
from core.logbook.steps import taken
from core.paper.look.evenings import evenings
from core.plan import REACHES, Plan
from core.shelf import Shelf
from core.values import dataclass


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
    """By evening from the new plan's first on, in order, what changed there.

    What was done meanwhile is no change; what waited since before the new plan moved to its time there.
    What must not be done any more stands on the old sheets all the same: it is gone from them, or moved.
    """
    found = list(_changes(shelf, old, new))
    first = evening_of(new.start)
    days = sorted({day for change in found for day in change.days if day >= first})
    return {day: tuple(sorted((c for c in found if day in c.days), key=_when)) for day in days}


def _when(change: Change) -> tuple[object, ...]:
    step = change.step
    return (step.planned.start, step.kind, step.subject)


def _changes(shelf: Shelf, old: Plan, new: Plan) -> Iterator[Change]:
    before, after = _by_name(shelf, old, printed=True), _by_name(shelf, new)
    handled = _handled(shelf, old)
    for name in dict.fromkeys([*before, *after]):
        was, now = before.get(name, []), after.get(name, [])
        now = [step for step in now if step.planned.start >= new.start]
        came = [step for step in now if not any(_same(step, other) for other in was)]
        left = [step for step in was[handled[name] :] if not any(_same(step, other) for other in now)]
        for at in range(max(len(left), len(came))):
            gone, here = left[at] if at < len(left) else None, came[at] if at < len(came) else None
            if here is not None or (gone is not None and _is_struck(shelf, gone, new)):
                yield Change(gone, here)


def _is_struck(shelf: Shelf, gone: Step, new: Plan) -> bool:
    """Whether a step that the new plan has nowhere was still to come: what is done is struck nowhere."""
    return gone.planned.start >= new.start and not _over(shelf, gone)


def _by_name(shelf: Shelf, plan: Plan, *, printed: bool = False) -> dict[tuple[str, ...], list[Step]]:
    """The plan's steps; as they were ``printed``, those too that must not be done any more since."""
    found: dict[tuple[str, ...], list[Step]] = {}
    for evening in evenings(shelf, plan):
        crossed = [step for step, _ in evening.crossed] if printed else []
        for step in sorted([*evening.steps, *crossed], key=lambda step: step.planned.start):
            found.setdefault(_name(step), []).append(step)
    return found


def _handled(shelf: Shelf, old: Plan) -> Counter[tuple[str, ...]]:
    """How many steps of that name were begun or done since the old plan was made."""
    since = old.made_at or old.start
    found: Counter[tuple[str, ...]] = Counter()
    for one in taken(shelf).values():
        moment = one.started or one.finished
        if one.state != "skipped" and moment is not None and moment >= since:
            setup = " ".join(
                word for word in (one.setup or {}).values() if word and word.casefold() != "none"
            )
            touch = one.kind in TOUCHES
            found[(one.kind, one.subject, *(one.reels if touch else (one.segment, setup)))] += 1
    return found


def _over(shelf: Shelf, step: Step) -> bool:
    """Whether the work of a planned step is done by what the shelf tells of its reel."""
    reel = shelf.reels.get(step.subject)
    stage = REACHES.get(step.kind)
    return reel is not None and stage is not None and reel.past(stage)


def _name(step: Step) -> tuple[str, ...]:
    """What makes two steps the same piece of work: never its time."""
    item = step.item
    if step.touch:
        return (step.kind, step.subject, *step.reels)
    return (step.kind, step.subject, item.segment if item else "", item.setup_text if item else "")


def _same(one: Step, other: Step) -> bool:
    decks = [step.item.deck if step.item else "" for step in (one, other)]
    return one.planned == other.planned and decks[0] == decks[1]
