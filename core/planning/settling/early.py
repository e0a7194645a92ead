"""Entering a plan's items again in their order, each as early in its evening as it fits."""

from __future__ import annotations

from collections.abc import Mapping, Set

from core.planning.bench.calibration import fits
from core.planning.bench.diary import Fit
from core.planning.bench.draft import Draft, Step, cost
from core.planning.bench.follow import Walk, behind_unset
from core.planning.facts.problem import Problem, Stretch


def early(
    problem: Problem,
    draft: Draft,
    than: Draft,
    pauses: tuple[Stretch, ...] = (),
    *,
    windows: Set[int] | None = None,
    wait: Mapping[Step, int] | None = None,
) -> Draft | None:
    """The draft with all as early as it fits; None where not all does, or where it costs more than the other.

    ``windows``: in these alone, everything in others at its own time. ``pauses``: stretches left free.
    ``wait``: the line-ups that wait until the tape of that job may run. Where nobody says, all that no
    calibration reel serves, or those of them that do so already.
    """
    for waits in _waits(problem, draft) if wait is None else (wait,):
        new = _entered(problem, draft, pauses, windows, waits)
        whole = len(new.steps) == len(draft.steps) and _members(new) == _members(draft)
        if whole and cost(problem, new) <= cost(problem, than):
            return new
    return None


def _waits(problem: Problem, draft: Draft) -> list[Mapping[Step, int]]:
    unset = behind_unset(problem, draft)
    soon = too_soon(problem, draft, unset)
    return [unset, {step: job for step, job in unset.items() if step not in soon}] if soon else [unset]


def too_soon(problem: Problem, draft: Draft, unset: Mapping[Step, int]) -> list[Step]:
    """Those line-ups that are made while the tape behind them is in the heat or cools."""
    warm = {index: load.start for load in draft.loads for index in load.members}
    found = []
    for step, index in unset.items():
        job = problem.jobs[index]
        at = warm[index] + job.heat + job.cool if index in warm else job.ready
        if step.start < at:
            found.append(step)
    return found


def _entered(
    problem: Problem,
    draft: Draft,
    pauses: tuple[Stretch, ...],
    windows: Set[int] | None,
    wait: Mapping[Step, int],
) -> Draft:
    """What fits of the draft, entered again."""
    here = every(problem) if windows is None else windows
    walk = Walk(problem, set(), exact=windows is not None, early=here, wait=wait)
    for job in problem.jobs:
        if job.calibration:
            walk.diary.fits[job.index] = [Fit(first, last) for first, last in fits(problem, draft, job)]
    for start, end in pauses:
        walk.diary.enter_busy(walk.diary.window_at(start), start, end)
    walk.through(draft)
    return walk.diary.draft()


def every(problem: Problem) -> frozenset[int]:
    """All evenings."""
    return frozenset(range(len(problem.windows)))


def _members(draft: Draft) -> list[tuple[int, ...]]:
    return sorted(load.members for load in draft.loads)
