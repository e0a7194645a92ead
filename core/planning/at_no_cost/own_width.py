"""A calibration reel as wide as what it lines up for is looked at and warmed where that costs nothing.

One of another width serves by the rule, and sets little of the heads that play the reel.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Set
from fractions import Fraction

from core.planning.bench.calibration import own_width_first, tidy, width_of, widths_behind
from core.planning.bench.draft import Draft, Step
from core.planning.bench.enter_loads import enter_load, load_options
from core.planning.bench.fill import diary_of
from core.planning.bench.lists import enter_desk
from core.planning.facts.problem import Job, Problem

TRIES = 6  # loads in which a calibration reel is tried for one line-up


def of_own_width(problem: Problem, draft: Draft, no_worse: Callable[[Draft, Draft], bool]) -> Draft:
    """The draft with line-ups by calibration reels of the reels' own width, where nothing is worse by it.

    ``no_worse``: asked of a new draft and the one before.
    """
    behind = widths_behind(problem, draft)
    for step in [one for one in behind if one.calibration >= 0]:
        for job in _wanted(problem, step, behind[step]):
            for better in _made_fit(problem, draft, job, step):
                if no_worse(better, draft):
                    return of_own_width(problem, better, no_worse)
    return draft


def _wanted(problem: Problem, step: Step, widths: Set[Fraction | None]) -> tuple[Job, ...]:
    """Calibration reels of the reels' width that would be named in place of another; nearest first."""
    if not widths or width_of(problem, step.calibration) in widths:
        return ()
    every = problem.decks[step.deck].calibrations[step.setup]
    nearest = own_width_first(problem, step, every, widths)
    nearer = nearest[: nearest.index(step.calibration)]
    return tuple(problem.jobs[c] for c in nearer if width_of(problem, c) in widths)


def _made_fit(problem: Problem, draft: Draft, job: Job, step: Step) -> Iterator[Draft]:
    """The draft with that calibration reel looked at and warmed before the line-up, load by load."""
    for place in range(TRIES if job.warmth == "must" else 1):
        diary = diary_of(problem, draft)
        known = enter_desk(diary, job, "identify", job.identify, job.look_from)
        if known < 0 or known > step.start:
            return
        if job.warmth == "must":
            first = max(diary.after_look(job, known), job.ready, step.end - job.playable - job.heat)
            options = load_options(diary, job, first, step.start - job.heat - job.cool)
            option = next((one for n, one in enumerate(options) if n == place), None)
            if option is None:
                return
            enter_load(diary, job, option)
        new = tidy(problem, diary.draft())
        if any(
            s.calibration == job.index and s.start == step.start and s.deck == step.deck for s in new.steps
        ):
            yield new
