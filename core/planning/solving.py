"""What the solver is asked in a search: the whole at once where it is small, else piece by piece."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import partial
from math import inf, isfinite

from core.planning.bench.draft import cost
from core.planning.bench.recreate import entered_behind, without
from core.planning.bounds.bounds import reels_part
from core.planning.bounds.evening_rows import spoken_of
from core.planning.bounds.soonest import soonest
from core.planning.by_evenings import bound_songs, bound_whole, least_of_songs, relax_songs
from core.planning.by_lists import enter_anew, songs_alone
from core.planning.incumbent import Incumbent
from core.planning.solver.given_evenings import costs_at_least
from core.planning.solver.neighbourhoods import Pieces
from core.planning.solver.objective import score_from, songs_from
from core.planning.solver.region import Region
from core.planning.solver.solver import Answer, Budget, build, solve
from core.planning.solver.songs import only_songs, songs_at_least, songs_between
from core.planning.solver.variables import Model
from core.values import dataclass

#: Deterministic time of the solver that counts as one of effort.
EFFORT = 0.1
LINEAR = (1000, 2000, 4000, 8000)  # rounds of the evenings' bound: reels times stretches of evenings
PROVABLE = 2500  # reels that songs need, times evenings: up to here songs are proven over the whole
FEW = 60  # reels times evenings up to which the whole is proven as soon as its parts
TURN = 6.0  # seconds or effort for one and the other by turns, at most
SONGS = 0.75  # of what remains, where that is short, for songs: unproven, nothing else tells much
PATIENT = 8.0  # seconds or effort from which songs are proven where the whole is large
PIECED = 2.0  # seconds or effort left from which pieces of a small whole are improved before it is solved
LONG = 12.0  # seconds or effort from which the whole is solved in parts
AGAIN = 0.15  # of what remains, where a plan of many reels is kept: for a bound, as no solve proves one


def budget(so_far: Incumbent, share: float, most: float = 1e9) -> Budget:
    """A share of what remains, in the search's own currency."""
    clock = so_far.clock
    amount = min(clock.left * share, most)
    if clock.by_effort:
        return Budget(3600.0, amount * EFFORT, clock.stopped if clock.stop else None)
    return Budget(amount, None, clock.stopped if clock.stop else None)


def spend(so_far: Incumbent, answer: Answer) -> None:
    """Counts the work of a solve."""
    so_far.clock.spent += max(0.02, answer.effort / EFFORT)


def solve_whole(so_far: Incumbent) -> None:
    """Its songs alone in one model, then the whole on top of what is proven of them.

    Where there is time for both, first from the bound upwards, then from the best plan down.
    """
    bound_evenings(so_far, 0.02)
    least = None
    if so_far.cells > FEW:
        least = least_of_songs(so_far, 0.3, wait_of_reels(so_far, 0.1, line_ups=True)).bound
    songs = prove_songs(so_far, SONGS if so_far.clock.left < LONG else 0.5, least)
    if so_far.closed() or so_far.clock.over():
        return
    if so_far.clock.left > LONG:
        until = so_far.clock.used + 0.08 * so_far.clock.left
        _pieces_until(so_far, Pieces(so_far.problem, so_far.dice), until)
    known = Fraction(0) if songs is None or so_far.wishes.restrict else songs.score
    bound_whole(so_far, 0.4, max(known, least or known))
    if so_far.closed() or so_far.clock.over():
        return
    if so_far.clock.left > PIECED:
        _pieces_until(
            so_far, Pieces(so_far.problem, so_far.dice), so_far.clock.used + 0.3 * so_far.clock.left
        )
    for share, lifting in ((0.35, True), (0.98, False)) if so_far.clock.left > LONG else ((0.98, True),):
        model = build(so_far.problem, so_far.best, Region.all_of(so_far.problem), exact=True)
        if songs is not None and so_far.cells > FEW:
            best = cost(so_far.problem, so_far.best) / 6000
            songs_between(model, songs.alone, best, wait_of_reels(so_far, 0.05, line_ups=True))
        if not so_far.wishes.restrict:
            costs_at_least(model, so_far.bound)
        proven = partial(_proven, so_far, model)
        answer = solve(model, budget(so_far, share), found=so_far.offer, proven=proven, lifting=lifting)
        settle(so_far, answer)
        if answer.solved or so_far.closed() or so_far.clock.over():
            return


def solve_calmly(so_far: Incumbent) -> None:
    """Where a plan is kept: pieces of it, then the whole, score and moves together."""
    clock = so_far.clock
    _pieces_until(so_far, Pieces(so_far.problem, so_far.dice), clock.used + 0.4 * clock.left)
    if clock.over():
        return
    kept = (so_far.told, so_far.next_price)
    model = build(so_far.problem, so_far.best, Region.all_of(so_far.problem), exact=True, kept=kept)
    model.partial = True  # moves are in what is minimised: its bound is none of the score
    answer = solve(model, budget(so_far, 0.98), found=so_far.offer)
    spend(so_far, answer)
    if answer.draft is not None:
        so_far.offer(answer.draft)


def _proven(so_far: Incumbent, model: Model, units: float) -> None:
    so_far.raise_own(score_from(model, units))


@dataclass(frozen=True, slots=True)
class Songs:
    """What is proven of the songs' part alone: in the solver's units, and in score."""

    alone: float
    score: Fraction


def prove_songs(so_far: Incumbent, share: float, least: Fraction | None = None) -> Songs | None:
    """What all songs together cost at least; None where that is not known. ``least``: what is known before.

    Only reels that songs need are in the model: to leave the others out can but help songs. The best plan of
    the songs is then offered with the others entered behind.
    """
    problem, needed = so_far.problem, so_far.problem.for_songs
    others = {job.index for job in problem.work} - needed
    alone = without(problem, so_far.best, others)
    model = build(problem, alone, replace(Region.all_of(problem), newcomers=needed), exact=True)
    only_songs(model)
    if least is not None and not so_far.wishes.restrict:
        songs_at_least(model, least)
    found = _proven_part(so_far, model, share, wait_of_reels(so_far, 0.1, line_ups=True))
    return None if found is None else Songs(found, songs_from(model, found))


def _proven_part(so_far: Incumbent, model: Model, share: float, rest: Fraction) -> float | None:
    """What the songs' model costs at least; ``rest`` is known of all that it leaves out."""

    def proven(units: float) -> None:
        so_far.raise_own(songs_from(model, units) + rest)

    part = solve(model, budget(so_far, share), proven=proven, lifting=True)
    spend(so_far, part)
    if part.draft is not None:
        so_far.offer(entered_behind(so_far.problem, part.draft))
    if not model.complete or not isfinite(part.units):
        return None
    proven(part.units)
    return part.units


def bound_evenings(so_far: Incumbent, share: float) -> None:
    """Proves a bound from what evenings can hold, for a share of what remains; finer round by round."""
    from core.planning.bounds.evening_bound import evening_bound, stretches

    clock, problem = so_far.clock, so_far.base
    began, room = clock.used, clock.left * share
    reels = len(spoken_of(problem, soonest(problem))[0])
    wait = wait_of_reels(so_far, share / 2, line_ups=False) if reels else Fraction(0)
    seen: set[int] = set()
    for cells in LINEAR if reels else ():
        size = reels * len(stretches(problem, reels, cells))
        if size in seen:
            continue
        left = room - (clock.used - began)
        if _takes(size) > left or so_far.closed() or clock.stopped():
            return
        seen.add(size)
        bound = evening_bound(problem, inf if clock.by_effort else 2 * left, cells=cells, reels=wait)
        clock.spent += _takes(size)
        so_far.raise_bound(bound)


def _takes(size: int) -> float:
    """Seconds of a quiet machine for evenings of so many cells, about as measured."""
    return 0.05 + float((size / 2000) ** 1.5)


def wait_of_reels(so_far: Incumbent, share: float, *, line_ups: bool) -> Fraction:
    """What all reels wait at least, and with ``line_ups`` what those cost, for a share of what remains."""
    from core.planning.bounds.evening_bound import evening_reels, stretches

    clock, problem = so_far.clock, so_far.base
    if line_ups in so_far.waits:
        return so_far.waits[line_ups]
    known = reels_part(problem, soonest(problem))
    for cells in reversed(LINEAR[:3]) if so_far.cells > FEW else ():
        size = len(problem.work) * len(stretches(problem, len(problem.work), cells))
        if _takes(size) <= clock.left * share:
            clock.spent += _takes(size)
            seconds = inf if clock.by_effort else 2 * clock.left * share
            known = max(known, evening_reels(problem, seconds, cells=cells, line_ups=line_ups) or known)
            break
    so_far.waits[line_ups] = known
    return known


def settle(so_far: Incumbent, answer: Answer) -> None:
    """Takes what a solve of the whole found: plan, bound, work."""
    spend(so_far, answer)
    if answer.draft is not None:
        so_far.offer(answer.draft)
    so_far.raise_own(answer.bound)


def improve_pieces(so_far: Incumbent) -> None:
    """Sets pieces free, one after another, while time remains; bounds are looked for in between."""
    pieces = Pieces(so_far.problem, so_far.dice)
    limit = so_far.clock.limit
    if so_far.kept is not None:
        bound_evenings(so_far, AGAIN)
        if _provable(so_far):
            prove_songs(so_far, 2 * AGAIN)
        _in_turns(so_far, pieces, limit)
        return
    if _provable(so_far):
        bound_evenings(so_far, 0.1)
        relax_songs(so_far, 0.05, wait_of_reels(so_far, 0.05, line_ups=True))
        _in_turns(so_far, pieces, limit * 0.25)
        proof = bound_songs(so_far, 0.4, wait_of_reels(so_far, 0.05, line_ups=True))
        if proof.solved and not so_far.closed():  # else the harder model tells no more
            prove_songs(so_far, 0.6, proof.least.bound)
    else:
        bound_evenings(so_far, 0.3)
        relax_songs(so_far, 0.2, wait_of_reels(so_far, 0.05, line_ups=True))
    _in_turns(so_far, pieces, limit)


def _provable(so_far: Incumbent) -> bool:
    """Whether songs are few enough, and the time long enough, to prove them over the whole."""
    cells = len(so_far.problem.for_songs) * len(so_far.problem.windows)
    return cells <= PROVABLE and so_far.clock.limit >= PATIENT


def _in_turns(so_far: Incumbent, pieces: Pieces, used: float) -> None:
    """Pieces by the solver, and reels entered anew without it: what one cannot see, the other may."""
    clock = so_far.clock
    turn = max(0.5, min(TURN, (used - clock.used) / 4))
    while not clock.over() and clock.used < used:
        _pieces_until(so_far, pieces, min(used, clock.used + turn))
        if so_far.kept is None:
            songs_alone(so_far, min(2 * turn, used - clock.used))
        enter_anew(so_far, min(turn, used - clock.used))


def _pieces_until(so_far: Incumbent, pieces: Pieces, used: float) -> None:
    while not so_far.clock.over() and so_far.clock.used < used:
        kept = (so_far.told, so_far.next_price) if so_far.kept is not None else None
        region = pieces.next(so_far.best)
        model = build(so_far.problem, so_far.best, region, kept=kept)
        answer = solve(model, budget(so_far, 0.5, most=3.0))
        spend(so_far, answer)
        pieces.settled(solved=answer.solved)
        if answer.draft is None:
            continue
        got, had = so_far.rank(answer.draft), so_far.rank(so_far.best)
        if got < had:
            so_far.offer(answer.draft)
        elif got == had and so_far.kept is None:
            so_far.best = answer.draft
