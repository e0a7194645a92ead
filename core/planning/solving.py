"""What the solver is asked in a search: the whole at once where it is small, else piece by piece."""

from __future__ import annotations

from core.planning.by_lists import enter_anew
from core.planning.draft import Draft
from core.planning.neighbourhoods import Pieces
from core.planning.region import Region
from core.planning.search import Search
from core.planning.solver import Answer, Budget, build, only_songs, solve, songs_at_least

#: Deterministic time of the solver that counts as one of effort.
EFFORT = 0.1
#: Rounds of the evenings' bound: reels times stretches of evenings, and nodes searched with whole songs.
LINEAR = ((600, 0), (2000, 0), (3200, 0), (6000, 0))
WHOLE = ((2000, 500),)
TURN = 6.0  # seconds or effort for one and the other by turns, at most
LONG = 12.0  # seconds or effort from which the whole is solved in parts


def budget(search: Search, share: float, most: float = 1e9) -> Budget:
    """A share of what remains, in the search's own currency."""
    clock = search.clock
    amount = min(clock.left * share, most)
    if clock.by_effort:
        return Budget(3600.0, amount * EFFORT, clock.stopped if clock.stop else None)
    return Budget(amount, None, clock.stopped if clock.stop else None)


def spend(search: Search, answer: Answer) -> None:
    """Counts the work of a solve."""
    search.clock.spent += max(0.02, answer.effort / EFFORT)


def solve_whole(search: Search) -> None:
    """The whole in one model; where that is not closed soon, its songs alone, then all on top of that."""
    problem = search.problem
    everything = Region.all_of(problem)
    bound_evenings(search, 0.1, (*LINEAR, *WHOLE))
    if search.closed() or search.clock.over():
        return

    def found(draft: Draft, _: float) -> None:
        search.offer(draft)

    model = build(problem, search.best, everything, exact=True)
    long = search.clock.left > LONG
    answer = solve(model, budget(search, 0.45 if long else 0.98), found=found)
    settle(search, answer)
    if answer.solved or search.closed() or search.clock.over() or not long:
        return
    songs = build(problem, search.best, everything, exact=True)
    only_songs(songs)
    part = solve(songs, budget(search, 0.4))
    spend(search, part)
    if part.draft is not None:
        search.offer(part.draft)
    if search.clock.over():
        return
    model = build(problem, search.best, everything, exact=True)
    if songs.complete:
        songs_at_least(model, part.songs_bound)
    settle(search, solve(model, budget(search, 0.98), found=found))


def bound_evenings(search: Search, share: float, rounds: tuple[tuple[int, int], ...]) -> None:
    """Proves a bound from what evenings can hold, for a share of what remains; finer round by round."""
    from core.planning.evening_bound import evening_bound, stretches

    clock, problem = search.clock, search.base
    began, room = clock.used, clock.left * share
    seen: set[tuple[int, bool]] = set()

    def over() -> bool:
        return clock.stopped() or clock.used - began >= room

    for cells, nodes in rounds:
        size = len(problem.work) * len(stretches(problem, cells))
        work = 0.02 + 1.5 * (size / 1500) ** 2.5  # seconds on a quiet machine, about as measured
        cost = work * (6 if nodes and clock.by_effort else 1)
        if (size, bool(nodes)) in seen:
            continue
        if clock.used - began + cost > room or search.closed():
            return
        seen.add((size, bool(nodes)))
        bound = evening_bound(problem, over, cells=cells, nodes=1 if nodes and clock.by_effort else nodes)
        clock.spent += cost
        search.raise_bound(bound)


def settle(search: Search, answer: Answer) -> None:
    """Takes what a solve of the whole found: plan, bound, work."""
    spend(search, answer)
    if answer.draft is not None:
        search.offer(answer.draft)
    if not search.wishes.bind:
        search.raise_bound(answer.bound)


def improve_pieces(search: Search) -> None:
    """Sets pieces free, one after another, while time remains; the bound is looked at twice in between."""
    pieces = Pieces(search.problem, search.dice)
    limit = search.clock.limit
    if search.kept is not None and limit < LONG:
        _pieces_until(search, pieces, limit)
        return
    bound_evenings(search, 0.3, LINEAR)
    _in_turns(search, pieces, limit * 0.55)
    if len(search.base.work) * len(search.base.windows) <= WHOLE[0][0]:
        bound_evenings(search, 0.7, WHOLE)
    _in_turns(search, pieces, limit)


def _in_turns(search: Search, pieces: Pieces, used: float) -> None:
    """Pieces by the solver, and reels entered anew without it: what one cannot see, the other may."""
    clock = search.clock
    turn = max(0.5, min(TURN, (used - clock.used) / 4))
    while not clock.over() and clock.used < used:
        _pieces_until(search, pieces, min(used, clock.used + turn))
        enter_anew(search, min(turn, used - clock.used))


def _pieces_until(search: Search, pieces: Pieces, used: float) -> None:
    kept = (search.kept_at, search.price) if search.kept is not None else None
    while not search.clock.over() and search.clock.used < used:
        region = pieces.next(search.best)
        model = build(search.problem, search.best, region, kept=kept)
        answer = solve(model, budget(search, 0.5, most=3.0))
        spend(search, answer)
        pieces.settled(answer.solved)
        if answer.draft is None:
            continue
        got, had = search.rank(answer.draft), search.rank(search.best)
        if got < had:
            search.offer(answer.draft)
        elif got == had and search.kept is None:
            search.best = answer.draft
