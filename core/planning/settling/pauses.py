"""A quarter of an hour free in the middle of a long day, where nothing is lost by it."""

from __future__ import annotations

from collections.abc import Set
from fractions import Fraction

from core.planning.bench.draft import Draft, Step
from core.planning.facts.problem import Problem, Stretch, Window
from core.planning.settling.early import early

LONG_DAY = 300  # minutes of work from which a day has a pause
PAUSE = 15


def with_pauses(problem: Problem, draft: Draft, windows: Set[int]) -> Draft:
    """The draft with a pause in the middle of every long day of these where nothing is lost by it."""
    pauses: tuple[Stretch, ...] = ()
    done: list[int] = []
    for index in sorted(windows):
        pause = _pause(problem, draft, problem.windows[index])
        if pause is None:
            continue
        found = early(problem, draft, draft, (*pauses, pause), windows={*done, index})
        if found is not None:
            draft, pauses, done = found, (*pauses, pause), [*done, index]
    return draft


def _pause(problem: Problem, draft: Draft, window: Window) -> Stretch | None:
    """Where a pause would lie: at the end of the step nearest to the middle; None where none is wanted."""
    if window.minutes <= LONG_DAY:
        return None
    steps = [step for step in draft.steps if window.start <= step.start and step.end <= window.end]
    if sum(step.end - step.start for step in steps) <= LONG_DAY:
        return None
    middle = Fraction(steps[0].start + max(step.end for step in steps), 2)
    ends = sorted((step.end for step in steps), key=lambda end: (abs(end - middle), end))
    if _free_at(steps, ends[0]):
        return None
    return ends[0], problem.scale.up(ends[0] + PAUSE)


def _free_at(steps: list[Step], moment: int) -> bool:
    """True if nothing begins within a quarter of an hour then."""
    return not any(step.start < moment + PAUSE and step.end > moment for step in steps)
