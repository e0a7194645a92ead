"""A playable tape is not warmed again where nothing is lost by leaving it out of the load.

Warmth is hours of someone's evening and a strain on the tape; the score counts neither for one tape more in a
load that runs anyway.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import replace

from core.planning.bench.calibration import tidy
from core.planning.bench.draft import Draft, Load, ends_of
from core.planning.bench.lists import Order
from core.planning.bench.recreate import recreated
from core.planning.facts.problem import Job, Problem


def left_cold(problem: Problem, draft: Draft, no_worse: Callable[[Draft, Draft], bool]) -> Draft:
    """The draft without second warmings that it does as well without.

    A tape is left where it plays if it is still playable then; else it is tried before it lapses.
    ``no_worse``: asked of a new draft and the one before.
    """
    warm = sorted({index for load in draft.loads for index in load.members})
    for job in (problem.jobs[index] for index in warm):
        if job.warmth != "may":
            continue
        for without in (_left_out, _played_before):
            tried = without(problem, draft, job)
            if tried is not None and no_worse(tried, draft):
                draft = tried
                break
    return draft


def _left_out(problem: Problem, draft: Draft, job: Job) -> Draft | None:
    """The draft with that tape in no load; None where it then plays past its time."""
    lapse = job.lapse
    own = [step for step in draft.steps if step.job == job.index and step.kind != "identify"]
    plays = [step for step in own if step.kind == "transfer"]
    if any(step.start < job.ready for step in own) or (
        lapse is not None and any(s.end > lapse for s in plays)
    ):
        return None
    loads = (
        Load(load.chamber, load.start, tuple(m for m in load.members if m != job.index))
        for load in draft.loads
    )
    cold = tidy(problem, Draft(draft.steps, tuple(load for load in loads if load.members)))
    return cold if _uncalibrated(cold) <= _uncalibrated(draft) else None


def _uncalibrated(draft: Draft) -> int:
    """How many line-ups name no calibration reel."""
    return sum(step.kind == "align" and step.calibration < 0 for step in draft.steps)


def _played_before(problem: Problem, draft: Draft, job: Job) -> Draft | None:
    """The draft with that tape taken out and played before it lapses; None where it finds no place."""
    if job.calibration or not job.ends or not _room_before(problem, draft, job):
        return None
    jobs = tuple(replace(one, warmth="no") if one is job else one for one in problem.jobs)
    cold = replace(problem, jobs=jobs)
    tried = recreated(cold, draft, {job.index}, Order((job.index,)))
    return tidy(problem, tried) if job.index in ends_of(tried) else None


def _room_before(problem: Problem, draft: Draft, job: Job) -> bool:
    """Whether an evening before it lapses has room for its longest transfer, beside what others take."""
    last = problem.end if job.lapse is None else job.lapse
    free = {window.start: window.minutes for window in problem.windows if window.start < last}
    starts = list(free)
    behind: dict[int, str] = {}
    for step in reversed([one for one in draft.steps if one.job != job.index]):
        idle = step.kind == "align" and behind.get(step.deck) != "transfer"
        behind[step.deck] = step.kind
        if not idle and starts and starts[0] <= step.start < last:
            free[starts[bisect_right(starts, step.start) - 1]] -= step.end - step.start
    longest = max((min(m for m in part.minutes if m is not None) for part in job.parts), default=0)
    return max(free.values(), default=0) >= longest
