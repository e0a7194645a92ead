"""What whole evenings can hold, in a search: a bound, and the plan in which reels end on those evenings."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import inf

from core.planning.bench.draft import score_of
from core.planning.bench.recreate import entered_behind, without
from core.planning.bounds.songs_bound import relaxed_songs
from core.planning.bounds.whole_bound import Allowed, Evenings, Least, songs_bound
from core.planning.incumbent import Incumbent
from core.planning.solver.cheaper import Cheaper
from core.planning.solver.given_evenings import verified_on
from core.planning.solver.region import Region
from core.planning.solver.solver import Budget, build, solve
from core.planning.solver.variables import Model
from core.planning.time_left import Clock

EACH = 0.03  # seconds of a quiet machine for a node of the tree, as a share of those for the first
HELPED = 2.5  # of those, where many evenings are bound together by the helper's hours
TRIAL = 0.2  # of what remains, for the plan in which reels end on the evenings that were found
TRIED = 0.5  # of what remains then: for evenings that would be cheaper, and whether a plan has them
EFFORT = 0.1  # deterministic time of the solver that counts as one of effort


def bound_whole(so_far: Incumbent, share: float, songs: Fraction) -> None:
    """The bound by whole evenings, for a share of what remains, and the plan that it points at.

    ``songs``: what is proven that they cost at least. Only where ends count by evenings: else minutes matter.
    """
    clock = so_far.clock
    amount, root = clock.left * share, _root(so_far.cells)
    if not so_far.base.comfort.marks or amount < root:
        return
    evenings = Evenings.of(so_far.base, songs)
    least = evenings.least(_allowed(so_far, amount, root))
    clock.spent += max(0.02, least.work)
    so_far.raise_bound(least.bound)
    better = least.costs is not None and least.costs < score_of(so_far.base, so_far.best)
    if least.evenings and better and not clock.over():
        model = build(so_far.problem, so_far.best, Region.all_of(so_far.problem), exact=True)
        _follow(so_far, model, least)
    if so_far.kept is None and not so_far.wishes.restrict:
        _try(so_far, evenings, clock.used + TRIED * clock.left)


def _try(so_far: Incumbent, evenings: Evenings, until: float) -> None:
    """Cheaper evenings than those of the best plan, one after another: a plan has them, or they are barred.

    What is barred, no plan has that is cheaper than the best one: what the rest costs at least, or the best
    plan itself, is a bound.
    """
    clock, base, root = so_far.clock, so_far.base, _root(so_far.cells)
    cheaper: Cheaper | None = None
    while clock.used + root <= until and not clock.over() and not so_far.closed():
        score = score_of(base, so_far.best)
        allowed = replace(_allowed(so_far, until - clock.used, root), first=True)
        least = evenings.least(allowed, score)
        clock.spent += max(0.02, least.work)
        so_far.raise_bound(least.bound)
        if not least.evenings or clock.over():
            return
        if cheaper is None or cheaper.score != score:
            cheaper = Cheaper.than(base, so_far.best, score, lambda: _seconds(clock, until), clock.stop)
        had = cheaper.work
        verdict = cheaper.with_reels_by(least.evenings, evenings.last)
        clock.spent += (cheaper.work - had) / EFFORT
        if verdict.barred:
            evenings.bar(verdict.barred)
        elif verdict.draft is None or not so_far.offer(verdict.draft):
            return


def _seconds(clock: Clock, until: float) -> float:
    """Seconds that are left by then, where it goes by seconds."""
    return 3600.0 if clock.by_effort else until - clock.used


def relax_songs(so_far: Incumbent, share: float, rest: Fraction) -> None:
    """The bound by whole evenings in parts, of songs alone; ``rest`` is known of all that is not theirs."""
    clock, base = so_far.clock, so_far.base
    takes = 0.1 + float((len(base.for_songs) * len(base.windows) / 1500) ** 1.5)
    if not base.comfort.marks or clock.left * share < takes or so_far.closed() or clock.stopped():
        return
    found = relaxed_songs(base, inf if clock.by_effort else 2 * takes)
    clock.spent += takes
    so_far.raise_bound(None if found is None else found + rest)


def bound_songs(so_far: Incumbent, share: float, rest: Fraction) -> None:
    """The same of songs alone, where the whole is too large; ``rest`` is known of all that is not theirs."""
    clock, needed = so_far.clock, so_far.base.for_songs
    root = HELPED * _root(len(needed) * len(so_far.base.windows))
    amount = clock.left * share
    if not so_far.base.comfort.marks or amount < root:
        return
    least = songs_bound(so_far.base, _allowed(so_far, amount, root))
    clock.spent += max(0.02, least.work)
    so_far.raise_bound(None if least.bound is None else least.bound + rest)
    better = least.costs is not None and least.costs + rest < score_of(so_far.base, so_far.best)
    if least.evenings and better and not clock.over():
        others = {job.index for job in so_far.problem.work} - needed
        alone = without(so_far.problem, so_far.best, others)
        region = replace(Region.all_of(so_far.problem), newcomers=needed)
        _follow(so_far, build(so_far.problem, alone, region, exact=True), least)


def _allowed(so_far: Incumbent, amount: float, root: float) -> Allowed:
    """So many seconds, or by effort so many nodes as they take about."""
    stop = so_far.clock.stopped if so_far.clock.stop else None
    if not so_far.clock.by_effort:
        return Allowed(amount, None, stop)
    return Allowed(None, 1 + int((amount - root) / (EACH * root)), stop)


def _root(cells: int) -> float:
    """Seconds of a quiet machine for the first node of so many reels times evenings, about as measured."""
    return 0.03 + float((cells / 200) ** 1.5)


def _follow(so_far: Incumbent, model: Model, least: Least) -> None:
    """The best plan in which each reel is verified on its evening, offered; others are entered behind."""
    clock = so_far.clock
    verified_on(model, least.evenings)
    model.partial = True  # its bound is none of the score: evenings are given
    amount, stop = TRIAL * clock.left, clock.stopped if clock.stop else None
    timed = Budget(3600.0, amount * EFFORT, stop) if clock.by_effort else Budget(amount, None, stop)
    answer = solve(model, timed)
    clock.spent += max(0.02, answer.effort / EFFORT)
    if answer.draft is not None:
        so_far.offer(answer.draft)
        so_far.offer(entered_behind(so_far.problem, answer.draft))
