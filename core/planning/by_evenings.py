"""What whole evenings can hold, in a search: a bound, and the plan in which reels end on those evenings."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import partial
from math import inf

from core.planning.bench.draft import score_of
from core.planning.bench.recreate import entered_behind, without
from core.planning.bounds.songs_bound import relaxed_songs
from core.planning.bounds.whole_bound import Allowed, Evenings, Least, songs_bound
from core.planning.incumbent import Incumbent
from core.planning.proving_songs import Proof, first_evenings, proven_songs
from core.planning.solver.cheaper import Cheaper
from core.planning.solver.given_evenings import verified_on
from core.planning.solver.region import Region
from core.planning.solver.solver import Budget, build, solve
from core.planning.solver.variables import Model
from core.planning.time_left import Clock

EACH = 0.01  # seconds of a quiet machine for a node of the tree, as a share of those for the first
TRIAL = 0.25  # of what remains, for the plan in which reels end on the evenings that were found
TRIED = 0.8  # of what remains then: for evenings that would be cheaper, and whether a plan has them
NEAR = 20_000  # a gap below that part of the score is not halved, and takes all the time there is
ONCE = 0.5  # of that, for one look for such evenings
WORK, ASKED = 0.5, 0.4  # for one question: the solver's time at least, and what of the rest at most
QUESTION = 0.01  # seconds of a quiet machine to put an evening to the test, about as measured
ASKING = 0.15  # deterministic time of the solver for questions that takes a second of a quiet machine
ROWS = 0.5  # the same for the rows of songs
EFFORT = 0.1  # deterministic time of the solver that counts as one of effort


def bound_whole(so_far: Incumbent, share: float, songs: Fraction) -> None:
    """The bound by whole evenings, for a share of what remains, and the plan that it points at.

    In parts first: that is known soon, also where there is no time for more. ``songs``: what is proven that
    they cost at least. Only where ends count by evenings: else minutes matter.
    """
    clock = so_far.clock
    amount, root = clock.left * share, _root(so_far.cells)
    if not so_far.base.comfort.marks or clock.left < _parts(so_far.cells):
        return
    evenings = Evenings.of(so_far.base, songs)
    so_far.raise_bound(evenings.in_parts(inf if clock.by_effort else clock.left))
    clock.spent += _parts(so_far.cells)
    if amount < root or so_far.closed() or clock.over():
        return
    least = _told(so_far, evenings, _allowed(so_far, amount, root), score_of(so_far.base, so_far.best))
    if so_far.kept is None and not so_far.wishes.restrict:
        _try(so_far, evenings, least, clock.used + TRIED * clock.left)
    elif least.evenings and not clock.over():
        _follow(so_far, _whole_model(so_far), least.evenings, TRIAL)


def _told(so_far: Incumbent, evenings: Evenings, allowed: Allowed, below: Fraction) -> Least:
    """What evenings cost at least, and some that cost less than a score; work and bound are counted."""
    least = evenings.least(allowed, below)
    so_far.clock.spent += max(0.02, least.work)
    so_far.raise_bound(least.bound)
    return least


def _try(so_far: Incumbent, evenings: Evenings, least: Least, until: float) -> None:
    """Cheaper evenings than those of the best plan, one after another: a plan has them, or they are barred.

    What is barred, no plan has that is cheaper than the best one: what the rest costs at least, or the best
    plan itself, is a bound. Evenings half way between the two are looked for first.
    """
    clock, base, root = so_far.clock, so_far.base, _root(so_far.cells)
    cheaper: Cheaper | None = None
    half = True
    while not clock.over() and not so_far.closed():
        if least.evenings and clock.used < until:
            if cheaper is None:
                seconds = partial(_seconds, clock, until)
                cheaper = Cheaper.than(base, so_far.best, score_of(base, so_far.best), seconds, clock.stop)
            if _ask(so_far, evenings, cheaper, least, until):
                continue
        elif half:
            half = False
        else:
            return
        if clock.used + root > until or so_far.closed():
            return
        score = score_of(base, so_far.best)
        near = (score - so_far.bound) * NEAR <= score
        half = half and not near
        aim = (score + so_far.bound) / 2 if half else score
        amount = max(root, (1.0 if near else ONCE) * (until - clock.used))
        least = _told(so_far, evenings, replace(_allowed(so_far, amount, root), first=True), aim)


def _ask(so_far: Incumbent, evenings: Evenings, cheaper: Cheaper, least: Least, until: float) -> bool:
    """Whether a cheaper plan has these evenings: it is taken, they are barred, or set aside: nobody knows.

    True where one is taken and an even cheaper one may have them too.
    """
    clock, had = so_far.clock, cheaper.work
    cheaper.below(score_of(so_far.base, so_far.best))
    work = max(WORK, ASKED * ASKING * (until - clock.used))
    asked, disordered = evenings.questions, evenings.bar_without_order(least)
    clock.spent += QUESTION * (evenings.questions - asked)
    verdict = cheaper.with_reels_by(least.evenings, evenings.last, work, whole=disordered)
    clock.spent += (cheaper.work - had) / ASKING
    taken = verdict.draft is not None and so_far.offer(verdict.draft)
    if verdict.barred:
        evenings.bar(verdict.barred)
    elif not taken and not disordered:
        evenings.set_aside(least.evenings)
    if not taken:
        return False
    evenings.all_again()
    cheap = least.costs is not None and least.costs < score_of(so_far.base, so_far.best)
    return cheap and not verdict.barred


def _whole_model(so_far: Incumbent) -> Model:
    return build(so_far.problem, so_far.best, Region.all_of(so_far.problem), exact=True)


def _seconds(clock: Clock, until: float) -> float:
    """Seconds that are left by then, where it goes by seconds."""
    return 3600.0 if clock.by_effort else until - clock.used


def relax_songs(so_far: Incumbent, share: float, rest: Fraction) -> None:
    """The bound by whole evenings in parts, of songs alone; ``rest`` is known of all that is not theirs."""
    clock, base = so_far.clock, so_far.base
    takes = _parts(len(base.for_songs) * len(base.windows))
    if not base.comfort.marks or clock.left * share < takes or so_far.closed() or clock.stopped():
        return
    found = relaxed_songs(base, inf if clock.by_effort else 2 * takes)
    clock.spent += takes
    so_far.raise_bound(None if found is None else found + rest)


def bound_songs(so_far: Incumbent, share: float, rest: Fraction) -> Proof:
    """The bound by whole evenings of songs alone, where the whole is too large, and the plan it points at.

    Of the first evenings, up to a few behind those that songs take in the best plan; ``rest`` is known of all
    that is not theirs.
    """
    clock, needed = so_far.clock, so_far.base.for_songs
    amount = clock.left * share
    if not so_far.base.comfort.marks or not needed or clock.over():
        return Proof(Least(None, {}, 0.0), False)
    stop = clock.stopped if clock.stop else None
    budget = Budget(3600.0, amount * ROWS, stop) if clock.by_effort else Budget(amount, None, stop)
    score = score_of(so_far.base, so_far.best)
    proof = proven_songs(so_far.base, first_evenings(so_far.base, so_far.best), budget, score - rest)
    least = proof.least
    clock.spent += max(0.02, least.work / ROWS)
    so_far.raise_bound(None if least.bound is None else least.bound + rest)
    better = least.costs is not None and least.costs + rest < score
    if least.evenings and better and not clock.over():
        others = {job.index for job in so_far.problem.work} - needed
        alone = without(so_far.problem, so_far.best, others)
        region = replace(Region.all_of(so_far.problem), newcomers=needed)
        _follow(so_far, build(so_far.problem, alone, region, exact=True), least.evenings, TRIAL)
    return proof


def least_of_songs(
    so_far: Incumbent, share: float, rest: Fraction, *, below: Fraction | None = None
) -> Least:
    """What songs alone cost at least, by whole evenings; ``rest`` is known of all that is not theirs.

    ``below``: only songs that are cheaper matter; where songs are few the tree is smaller without.
    """
    clock, needed = so_far.clock, so_far.base.for_songs
    root = _root(len(needed) * len(so_far.base.windows))
    amount = clock.left * share
    if not so_far.base.comfort.marks or not needed or amount < root:
        return Least(None, {}, 0.0)
    allowed = _allowed(so_far, amount, root)
    least = songs_bound(so_far.base, allowed, below)
    clock.spent += max(0.02, least.work)
    so_far.raise_bound(None if least.bound is None else least.bound + rest)
    return least


def _allowed(so_far: Incumbent, amount: float, root: float) -> Allowed:
    """So many seconds, or by effort so many nodes as they take about."""
    stop = so_far.clock.stopped if so_far.clock.stop else None
    if not so_far.clock.by_effort:
        return Allowed(amount, None, stop)
    return Allowed(None, 1 + int((amount - root) / (EACH * root)), stop)


def _root(cells: int) -> float:
    """Seconds of a quiet machine for the first node of so many reels times evenings, about as measured."""
    return 0.03 + float((cells / 200) ** 1.5)


def _parts(cells: int) -> float:
    """The same for a solution in parts."""
    return 0.1 + float((cells / 1500) ** 1.5)


def _follow(so_far: Incumbent, model: Model, evenings: dict[int, int], share: float) -> None:
    """The best plan in which each reel is verified on its evening, offered; others are entered behind."""
    clock = so_far.clock
    verified_on(model, evenings)
    model.partial = True  # its bound is none of the score: evenings are given
    amount, stop = share * clock.left, clock.stopped if clock.stop else None
    timed = Budget(3600.0, amount * EFFORT, stop) if clock.by_effort else Budget(amount, None, stop)
    answer = solve(model, timed)
    clock.spent += max(0.02, answer.effort / EFFORT)
    if answer.draft is not None:
        so_far.offer(answer.draft)
        so_far.offer(entered_behind(so_far.problem, answer.draft))
