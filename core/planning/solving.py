"""What the solver is asked in a search: the whole at once where it is small, else piece by piece."""

from __future__ import annotations

from random import Random

from core.planning.draft import Draft, score_of
from core.planning.neighbourhoods import Pieces
from core.planning.region import Region
from core.planning.search import SEED, Search
from core.planning.solver import Answer, Budget, build, only_songs, solve, songs_at_least

#: Deterministic time of the solver that counts as one of effort.
EFFORT = 0.1


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

    def found(draft: Draft, _: float) -> None:
        search.offer(draft)

    model = build(problem, search.best, everything, exact=True)
    answer = solve(model, budget(search, 0.35), found=found)
    settle(search, answer)
    if answer.solved or search.clock.over():
        return
    songs = build(problem, search.best, everything, exact=True)
    only_songs(songs)
    part = solve(songs, budget(search, 0.3))
    spend(search, part)
    if part.draft is not None:
        search.offer(part.draft)
    if search.clock.over():
        return
    model = build(problem, search.best, everything, exact=True)
    if songs.complete:
        songs_at_least(model, part.songs_bound)
    settle(search, solve(model, budget(search, 0.97), found=found))


def settle(search: Search, answer: Answer) -> None:
    """Takes what a solve of the whole found: plan, bound, work."""
    spend(search, answer)
    if answer.draft is not None:
        search.offer(answer.draft)
    search.raise_bound(answer.bound)


def improve_pieces(search: Search) -> None:
    """Sets pieces free, one after another, while time remains."""
    pieces = Pieces(search.problem, Random(SEED))
    while not search.clock.over():
        region = pieces.next(search.best)
        model = build(search.problem, search.best, region)
        answer = solve(model, budget(search, 0.5, most=3.0))
        spend(search, answer)
        pieces.settled(answer.solved)
        if answer.draft is None:
            continue
        if score_of(search.problem, answer.draft) < score_of(search.problem, search.best):
            search.offer(answer.draft)
        elif score_of(search.problem, answer.draft) == score_of(search.problem, search.best):
            search.best = answer.draft
