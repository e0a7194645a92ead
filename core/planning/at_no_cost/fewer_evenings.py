"""No evening is begun for ten minutes: work without a deck rides along with evenings that have work."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Set
from dataclasses import replace

from core.planning.bench.diary import FOREVER, Diary
from core.planning.bench.draft import AT_THE_TABLE, Draft, Step, make_draft
from core.planning.bench.fill import diary_of
from core.planning.facts.problem import Job, Problem, Window

_PLACE = {kind: n for n, kind in enumerate(("identify", "repair", "audition", "transfer", "verify"))}


def in_fewer_evenings(problem: Problem, draft: Draft, no_worse: Callable[[Draft, Draft], bool]) -> Draft:
    """The draft without evenings of looks, repairs and verifying alone whose steps find room in others.

    ``no_worse``: asked of a new draft and the one before. The evening with least work is tried first.
    """
    for window in sorted(problem.windows, key=lambda one: _work(draft, one)):
        steps = _within(draft, window)
        if steps and all(step.kind in AT_THE_TABLE and step.job >= 0 for step in steps):
            tried = _given_away(problem, draft, steps)
            if tried is not None and no_worse(tried, draft):
                draft = tried
    return draft


def _within(draft: Draft, window: Window) -> list[Step]:
    return [step for step in draft.steps if window.start <= step.start <= window.end]


def _work(draft: Draft, window: Window) -> int:
    return sum(step.end - step.start for step in _within(draft, window))


def _given_away(problem: Problem, draft: Draft, steps: list[Step]) -> Draft | None:
    """The draft with those steps in other evenings that have work; None where one of them finds no room."""
    moved = Draft(tuple(step for step in draft.steps if step not in steps), draft.loads)
    diary = diary_of(problem, moved)
    used = {diary.window_at(step.start) for step in moved.steps}
    for step in steps:
        start = next(_starts(problem, moved, diary, used, step), None)
        if start is None:
            return None
        there = replace(step, start=start, end=start + step.end - step.start)
        diary.enter_step(there, diary.window_at(start))
        moved = make_draft([*moved.steps, there], list(draft.loads))
    return moved


def _starts(problem: Problem, rest: Draft, diary: Diary, used: Set[int], step: Step) -> Iterator[int]:
    """Where a step has room in those evenings, the nearest first, between what else is done with its reel."""
    job = problem.jobs[step.job]
    first, last = _not_before(rest, diary, job, step), _not_after(rest, step)
    for window in sorted(problem.windows, key=lambda one: abs(one.start - step.start)):
        known = step.kind == "identify" and job.assumed
        if window.index in used and not (known and window.over > last):
            runs = ((window.start, window.end),)
            start = diary.gap(window.index, max(window.start, first), step.end - step.start, runs, last)
            if start >= 0:
                yield start


def _not_before(rest: Draft, diary: Diary, job: Job, step: Step) -> int:
    """From when a step may be: behind its reel's look, its warming and cooling, its transfer."""
    if step.kind == "identify":
        return job.look_from
    first = job.ready
    for other in rest.steps:
        if other.job == step.job and _PLACE[other.kind] < _PLACE[step.kind]:
            looked = other.kind == "identify"
            first = max(first, diary.after_look(job, other.end) if looked else other.end)
    warm = [load.start + job.heat + job.cool for load in rest.loads if step.job in load.members]
    return max(first, *warm) if warm else first


def _not_after(rest: Draft, step: Step) -> int:
    """Until when a step may be over: before what follows it with its reel."""
    later = [other.start for other in rest.steps if other.job == step.job and _follows(other, step)]
    if step.kind == "identify":
        later += [other.start for other in rest.steps if other.calibration == step.job]
        later += [load.start for load in rest.loads if step.job in load.members]
    return min(later, default=FOREVER)


def _follows(other: Step, step: Step) -> bool:
    return _PLACE[other.kind] > _PLACE[step.kind]
