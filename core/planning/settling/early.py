"""Entering a plan's items again in their order, each as early in its evening as it fits."""

from __future__ import annotations

from collections.abc import Set

from core.planning.bench.calibration import fits
from core.planning.bench.diary import Fit
from core.planning.bench.draft import Draft, cost
from core.planning.bench.follow import Walk, made_by_tones
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
    for by_tones in (True, False) if made_by_tones(problem, draft) else (False,):
        new = _entered(problem, draft, pauses, windows, by_tones=by_tones)
        whole = len(new.steps) == len(draft.steps) and _members(new) == _members(draft)
        if whole and cost(problem, new) <= cost(problem, than):
            return new
    return None


def _entered(
    problem: Problem,
    draft: Draft,
    pauses: tuple[Stretch, ...],
    windows: Set[int] | None,
    *,
    by_tones: bool,
) -> Draft:
    """What fits of the draft, entered again; with ``by_tones`` line-ups wait for the tape that they read."""
    here = every(problem) if windows is None else windows
    walk = Walk(problem, set(), exact=windows is not None, early=here, by_tones=by_tones)
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
