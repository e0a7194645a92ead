"""Entering a plan's items again in their order, each as early in its evening as it fits."""

from __future__ import annotations

from collections.abc import Set

from core.planning.bench.calibration import fits
from core.planning.bench.diary import Fit
from core.planning.bench.draft import Draft, cost
from core.planning.bench.follow import Walk
from core.planning.facts.problem import Problem, Stretch


def early(
    problem: Problem,
    draft: Draft,
    than: Draft,
    pauses: tuple[Stretch, ...] = (),
    *,
    windows: Set[int] | None = None,
) -> Draft | None:
    """The draft with all as early as it fits; None where not all does, or where it costs more than the other.

    ``windows``: in these alone, everything in others at its own time. ``pauses``: stretches left free.
    """
    walk = Walk(
        problem, set(), exact=windows is not None, early=every(problem) if windows is None else windows
    )
    for job in problem.jobs:
        if job.calibration:
            walk.diary.fits[job.index] = [Fit(first, last) for first, last in fits(problem, draft, job)]
    for start, end in pauses:
        walk.diary.enter_busy(walk.diary.window_at(start), start, end)
    walk.through(draft)
    new = walk.diary.draft()
    whole = len(new.steps) == len(draft.steps) and _members(new) == _members(draft)
    return new if whole and cost(problem, new) <= cost(problem, than) else None


def every(problem: Problem) -> frozenset[int]:
    """All evenings."""
    return frozenset(range(len(problem.windows)))


def _members(draft: Draft) -> list[tuple[int, ...]]:
    return sorted(load.members for load in draft.loads)
