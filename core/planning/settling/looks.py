"""A calibration reel is looked at an evening before it lines up a deck, where that costs nothing.

The rules let it serve as soon as it was looked at. A look may find it sticky, though: then what was to play
that evening does not, and nobody has had the time to think of something else.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from core.planning.bench.draft import Draft, Step, make_draft
from core.planning.bench.fill import diary_of
from core.planning.facts.problem import Problem


def looked_before(problem: Problem, draft: Draft, no_worse: Callable[[Draft, Draft], bool]) -> Draft:
    """The draft with such looks in an earlier evening that has work anyway; ``no_worse``: asked of both."""
    for look in [step for step in draft.steps if _at_once(problem, draft, step)]:
        better = (one for one in _sooner(problem, draft, look) if no_worse(one, draft))
        draft = next(better, draft)
    return draft


def _at_once(problem: Problem, draft: Draft, look: Step) -> bool:
    """Whether that is the first look at a calibration reel by which a deck is lined up the same evening."""
    if look.kind != "identify" or look.job < 0 or not problem.jobs[look.job].assumed:
        return False
    over = next(w.over for w in problem.windows if w.start <= look.start <= w.end)
    return any(step.calibration == look.job and step.start < over for step in draft.steps)


def _sooner(problem: Problem, draft: Draft, look: Step) -> Iterator[Draft]:
    """The draft with that look in each evening before, the one next to it first."""
    rest = [step for step in draft.steps if step is not look]
    diary, minutes = diary_of(problem, Draft(tuple(rest), draft.loads)), look.end - look.start
    first = problem.jobs[look.job].look_from
    for window in reversed([one for one in problem.windows if one.end <= look.start]):
        runs = ((window.start, window.end),)
        start = diary.gap(window.index, max(window.start, first), minutes, runs)
        if start >= 0:
            moved = replace(look, start=start, end=start + minutes)
            yield make_draft([*rest, moved], list(draft.loads))
