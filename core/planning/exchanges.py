"""A reel that lost its place takes another's, which goes elsewhere: the few moves that mend a plan.

One step of an ejection chain after another (F. Glover, Discrete Applied Mathematics 65 (1996) 223-253):
whoever had to go is the next for whom a place is sought, while score and moves together gain.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import islice, pairwise

from core.planning.bench.draft import Draft, ends_of
from core.planning.bench.lists import Order
from core.planning.bench.orders import NEAR, smith
from core.planning.bench.recreate import recreated
from core.planning.by_lists import round_effort
from core.planning.facts.problem import Problem
from core.planning.incumbent import Incumbent

REELS = 24  # in whose place one may go, the soonest first
PAIRS = 12  # played one after the other, that make room for it together, the soonest first
EVENINGS = 12  # all of which makes room for it and its line-up, the soonest first
LOADS = 6  # in which it takes the place of one or of all, the soonest first


def exchange(so_far: Incumbent, amount: float) -> None:
    """Gives reels that have no place, or a later one than they had, the place of others, where that gains.

    The most important comes first; one that gained nothing waits until others did.
    """
    left = so_far.clock.portion(amount, round_effort(so_far))
    ranked = smith(so_far.problem, share=False)
    stuck: set[int] = set()
    before = so_far.best
    while hurt := [job for job in ranked if job not in stuck and _is_late(so_far, job)]:
        found = _instead_of_others(so_far, hurt[0], _places(so_far, hurt, ranked), left)
        if found is not None and so_far.lean_on(found):
            stuck.clear()
        else:
            stuck.add(hurt[0])
        if left() <= 0:
            break
    so_far.holds(before)


def _is_late(so_far: Incumbent, job: int) -> bool:
    """True for a reel that ends later than it was to, or never; also one that was to be nowhere."""
    was, now = ends_of(so_far.kept or Draft()), ends_of(so_far.best)
    return job not in now or now[job] > was.get(job, -1)


def _instead_of_others(
    so_far: Incumbent, job: int, places: Iterator[tuple[int, ...]], left: Callable[[], float]
) -> Draft | None:
    """The best plan in which that reel has one of those places; None where none gains."""
    best, least = None, so_far.rank(so_far.best)
    for out in places:
        if left() <= 0:
            break
        draft = recreated(so_far.problem, so_far.best, set(out), Order(out, NEAR))
        if (got := so_far.rank(draft)) < least:
            best, least = draft, got
    return best


def _places(so_far: Incumbent, hurt: list[int], ranked: list[int]) -> Iterator[tuple[int, ...]]:
    """The first of those reels alone, with each reel that is played before it is, and with two of an evening.

    With two come the others that are late and share a set-up with it: one line-up does.
    """
    job, problem = hurt[0], so_far.problem
    alike = [one for one in hurt[1:] if _share_a_set_up(problem, one, job)]
    evenings = _played_before(so_far, job, set(ranked))
    yield (job,)
    for other in [*dict.fromkeys(one for evening in evenings for one in evening)][:REELS]:
        yield (job, other)
    pairs = (two for evening in evenings for two in pairwise(dict.fromkeys(evening)))
    for pair in islice(pairs, PAIRS):
        others = sorted(set(pair) - set(alike), key=ranked.index)
        yield (job, *alike, *others)
    warmed = _warmed_before(so_far, job, set(ranked))
    for members in warmed:
        if len(members) > 1:
            yield (job, *sorted(members, key=ranked.index))
        yield from ((job, other) for other in members)
    for evening in evenings[:EVENINGS]:
        yield (job, *sorted(set(evening), key=ranked.index))


def _played_before(so_far: Incumbent, job: int, some: set[int]) -> list[list[int]]:
    """Those of some reels that are played when that one could be, before it is; evening by evening."""
    facts, end = so_far.problem.jobs[job], ends_of(so_far.best).get(job, 1 << 40)
    first = facts.ready + (facts.heat + facts.cool if facts.warmth == "must" else 0)
    played = [s for s in so_far.best.steps if s.kind == "transfer" and first < s.end and s.start < end]
    played = [step for step in played if step.job in some and step.job != job]
    evenings = (
        [step.job for step in played if w.start <= step.start < w.end] for w in so_far.problem.windows
    )
    return [evening for evening in evenings if evening]


def _warmed_before(so_far: Incumbent, job: int, some: set[int]) -> list[list[int]]:
    """Those of some reels that are warmed together in time for that one to be played sooner; load by load."""
    facts, end = so_far.problem.jobs[job], ends_of(so_far.best).get(job, 1 << 40)
    if facts.warmth == "no":
        return []
    soon = (load for load in so_far.best.loads if facts.ready <= load.start < end - facts.heat - facts.cool)
    members = ([one for one in load.members if one in some and one != job] for load in soon)
    return [one for one in members if one][:LOADS]


def _share_a_set_up(problem: Problem, one: int, other: int) -> bool:
    setups = ({part.setup for part in problem.jobs[job].parts} for job in (one, other))
    return bool(set.intersection(*setups))
