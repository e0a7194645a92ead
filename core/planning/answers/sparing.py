"""What may spare a playable tape its second warming: room for it before its time is over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from core.planning.answers.asking import Asking
from core.planning.answers.relaxing import relaxed
from core.planning.answers.remedy import Remedy
from core.planning.bench.placing import Placing, without
from core.planning.facts.problem import Job, Problem
from core.planning.wishes.wished import with_jobs

MOST = 3  # tapes of one plan for which it is looked for


def spares(asking: Asking) -> tuple[tuple[str, str], ...]:
    """By reel that the plan warms although it is playable: the smallest step with which it plays before.

    The rest of the plan stays where it is; what comes of it is shown by planning with it.
    """
    warm = {index for load in asking.draft.loads for index in load.members}
    jobs = [asking.problem.jobs[index] for index in sorted(warm)]
    playable = [job for job in jobs if job.warmth == "may" and job.ends and not job.calibration]
    found = ((job.key, _spared(asking, job)) for job in playable[:MOST])
    return tuple((key, words) for key, words in found if words)


def _spared(asking: Asking, job: Job) -> str:
    rest = without(asking.draft, job)
    for one in _steps(asking, job):
        if Placing(_cold(one.problem, job), rest).end_of(job) is not None:
            return one.words
    return ""


def _steps(asking: Asking, job: Job) -> Iterator[Remedy]:
    last = job.lapse or 0
    for one in relaxed(asking.problem, job, (), last):
        if one.rule in ("helper", "loud hours"):
            yield from one.steps()


def _cold(problem: Problem, job: Job) -> Problem:
    return with_jobs(problem, {job.index: replace(job, warmth="no")})
