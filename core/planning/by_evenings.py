"""What whole evenings can hold, in a search: a bound, and the plan in which reels end on those evenings."""

from __future__ import annotations

from fractions import Fraction

from core.planning.bench.draft import score_of
from core.planning.bounds.whole_bound import Allowed, Least, whole_bound
from core.planning.incumbent import Incumbent
from core.planning.solver.given_evenings import verified_on
from core.planning.solver.region import Region
from core.planning.solver.solver import Budget, build, solve

EACH = 0.03  # seconds of a quiet machine for a node of the tree, as a share of those for the first
TRIAL = 0.2  # of what remains, for the plan in which reels end on the evenings that were found
EFFORT = 0.1  # deterministic time of the solver that counts as one of effort


def bound_whole(so_far: Incumbent, share: float, songs: Fraction) -> None:
    """The bound by whole evenings, for a share of what remains, and the plan that it points at.

    ``songs``: what is proven that they cost at least. Only where ends count by evenings: else minutes matter.
    """
    clock = so_far.clock
    amount = clock.left * share
    if not so_far.base.comfort.marks or amount < _root(so_far):
        return
    least = whole_bound(so_far.base, songs, _allowed(so_far, amount))
    clock.spent += max(0.02, least.work)
    so_far.raise_bound(least.bound)
    better = least.costs is not None and least.costs < score_of(so_far.base, so_far.best)
    if least.evenings and better and not clock.over():
        _follow(so_far, least)


def _allowed(so_far: Incumbent, amount: float) -> Allowed:
    """So many seconds, or by effort so many nodes as they take about."""
    stop = so_far.clock.stopped if so_far.clock.stop else None
    if not so_far.clock.by_effort:
        return Allowed(amount, None, stop)
    root = _root(so_far)
    return Allowed(None, 1 + int((amount - root) / (EACH * root)), stop)


def _root(so_far: Incumbent) -> float:
    """Seconds of a quiet machine for the first node, about as measured."""
    return 0.03 + float((so_far.cells / 200) ** 1.5)


def _follow(so_far: Incumbent, least: Least) -> None:
    """The best plan in which each reel is verified on its evening, offered."""
    problem, clock = so_far.problem, so_far.clock
    model = build(problem, so_far.best, Region.all_of(problem), exact=True)
    verified_on(model, least.evenings)
    model.partial = True  # its bound is none of the score: evenings are given
    amount, stop = TRIAL * clock.left, clock.stopped if clock.stop else None
    timed = Budget(3600.0, amount * EFFORT, stop) if clock.by_effort else Budget(amount, None, stop)
    answer = solve(model, timed)
    clock.spent += max(0.02, answer.effort / EFFORT)
    if answer.draft is not None:
        so_far.offer(answer.draft)
