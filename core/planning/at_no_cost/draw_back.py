"""Drawing a plan back to the one that is kept: what costs nothing where it was stays where it was."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Set
from dataclasses import replace

from core.planning.bench.draft import Draft, Load, Step, make_draft
from core.planning.bench.fill import home_of
from core.planning.bench.follow import followed
from core.planning.bench.recreate import without
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


def with_reels_of(problem: Problem, other: Draft, draft: Draft, jobs: Set[int]) -> Draft:
    """The draft with those reels where the other one has them; all else follows where it was or soon after.

    Their steps, their places in loads and the line-ups of their transfers are as they are there.
    """
    evening = _evenings(problem)
    theirs = [step for step in other.steps if step.job in jobs]
    draft = without(problem, draft, jobs)
    rest = list(draft.steps)
    decks = {(step.deck, evening(step.start)) for step in theirs if step.kind == "transfer"}
    stand = {(s.deck, s.setup, evening(s.start)) for s in rest if s.kind == "align"}
    aligns = [
        s
        for s in other.steps
        if s.kind == "align" and (at := (s.deck, evening(s.start))) in decks
        if (at[0], s.setup, at[1]) not in stand
    ]
    loads = _loads_of(other, draft, jobs)
    return followed(problem, make_draft([*rest, *theirs, *aligns], loads), exact=False).draft()


def _loads_of(other: Draft, draft: Draft, jobs: Set[int]) -> list[Load]:
    """The draft's loads, and the other's with those reels alone; joined where they are one."""
    members: dict[tuple[int, int], list[int]] = {}
    for load in draft.loads:
        members[load.chamber, load.start] = list(load.members)
    for load in other.loads:
        mine = [one for one in load.members if one in jobs]
        members.setdefault((load.chamber, load.start), []).extend(mine)
    return [Load(*place, tuple(sorted(inside))) for place, inside in members.items() if inside]


def moved_jobs(kept: Draft, draft: Draft) -> list[int]:
    """The reels of the kept plan of which something is elsewhere or gone, the soonest first."""
    was, now = _by_job(kept), _by_job(draft)
    moved = [job for job in was if was[job] != now.get(job)]
    return sorted(moved, key=lambda job: (min(at for *_, at in was[job]), job))


def _by_job(draft: Draft) -> dict[int, set[tuple[str, int, int]]]:
    out: dict[int, set[tuple[str, int, int]]] = {}
    for step in draft.steps:
        if step.job >= 0:
            out.setdefault(step.job, set()).add((step.kind, step.part, step.start))
    for load in draft.loads:
        for job in load.members:
            out.setdefault(job, set()).add(("load", 0, load.start))
    return out
