"""Drawing a plan back to the one that is kept: what costs nothing where it was stays where it was."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import replace

from core.planning.bench.draft import Draft, Load, Step, make_draft
from core.planning.bench.fill import home_of
from core.planning.bench.follow import followed
from core.planning.facts.problem import Problem


def drawn_back(problem: Problem, kept: Draft, draft: Draft) -> Draft:
    """The draft with every item at its time in the kept plan that is in the same evening there.

    A line-up goes where the kept plan had one for the same set-up in that evening, a load where it had one of
    the same reels in that stretch at home; whatever is then in the way follows as soon as it fits.
    """
    evening = _evenings(problem)
    at = {_step_key(step, evening): step.start for step in kept.steps}
    steps = [_moved(step, at.get(_step_key(step, evening))) for step in draft.steps]
    loads = [_load_back(problem, kept, load) for load in draft.loads]
    return followed(problem, make_draft(steps, loads), exact=False).draft()


def _evenings(problem: Problem) -> Callable[[int], int]:
    """In which evening a moment lies."""
    starts = [window.start for window in problem.windows]
    return lambda minute: bisect_right(starts, minute)


def _step_key(step: Step, evening: Callable[[int], int]) -> tuple[str | int, ...]:
    """What makes a step the same one in two plans: its work and its evening."""
    return (step.kind, step.job, step.part, step.deck, step.setup, step.reel, evening(step.start))


def _moved(step: Step, start: int | None) -> Step:
    return step if start is None else replace(step, start=start, end=start + step.end - step.start)


def _load_back(problem: Problem, kept: Draft, load: Load) -> Load:
    home = problem.homes[home_of(problem, load.start)]
    same = (one for one in kept.loads if (one.chamber, one.members) == (load.chamber, load.members))
    return replace(
        load, start=next((o.start for o in same if home.first <= o.start <= home.last), load.start)
    )
