"""A stronger bound: what evenings can hold, as a linear programme.

Every plan keeps the rows of ``evening_rows``, so the least cost is a bound on the songs' part of the score;
the reels' part is added. weights of the rows prove it: nothing rests on the solver's arithmetic.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from core.planning.bounds.bounds import lost_reels, lost_songs, reels_part
from core.planning.bounds.evening_rows import Programme, Stretch, programme_of, spoken_of
from core.planning.bounds.soonest import soonest
from core.planning.facts.problem import Problem

if TYPE_CHECKING:
    import numpy as np

MARGIN = Fraction(1, 1_000_000_000)  # what sums in floating point may be off, as a share of the bound


def evening_bound(
    problem: Problem, seconds: float, *, cells: int, reels: Fraction = Fraction(0)
) -> Fraction | None:
    """A proven bound on the score, None if it takes longer; ``cells``: reels times stretches of evenings.

    ``reels``: what is known already of the reels' part alone.
    """
    found = soonest(problem)
    jobs, songs = spoken_of(problem, found)
    wait = max(reels, reels_part(problem, found)) if songs else lost_reels(problem, found) / 6000
    fixed = lost_songs(problem, found) / 6000 + wait
    if not jobs:
        return fixed
    least = least_of(programme_of(problem, found, stretches(problem, len(jobs), cells)), seconds)
    if least is None:
        return None
    return fixed + max(Fraction(0), least - MARGIN * abs(least)) / 6000


def evening_reels(problem: Problem, seconds: float, *, cells: int, line_ups: bool) -> Fraction | None:
    """What all reels wait at least, as evenings can hold them; with ``line_ups`` what those cost besides.

    Songs are left out: so much is added to what is proven of them alone.
    """
    found = soonest(problem)
    comfort = problem.comfort if line_ups else replace(problem.comfort, line_up=Fraction(0))
    bare = replace(problem, songs=(), comfort=comfort)
    jobs, _ = spoken_of(bare, found)
    lost = lost_reels(problem, found) / 6000
    if not jobs:
        return lost
    least = least_of(programme_of(bare, found, stretches(bare, len(jobs), cells)), seconds)
    if least is None:
        return None
    return max(reels_part(problem, found), lost + (least - MARGIN * abs(least)) / 6000)


def least_of(programme: Programme, seconds: float) -> Fraction | None:
    """The least cost, proven by the weights of the rows that the solver finds (weak duality)."""
    import numpy as np
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    highs, limits = np.array(programme.highs), np.array(programme.limits)
    cost = np.zeros(len(highs))
    for column, factor in programme.cost:
        cost[column] += factor
    rows, columns, factors = zip(*programme.entries, strict=True)
    matrix = csr_array((factors, (rows, columns)), shape=(len(limits), len(highs)))
    bounds = np.column_stack((np.zeros(len(highs)), highs))
    found = linprog(
        cost, A_ub=matrix, b_ub=limits, bounds=bounds, method="highs", options={"time_limit": seconds}
    )
    if found.ineqlin.marginals is None or found.status:
        return None
    weights: np.ndarray = np.minimum(0.0, found.ineqlin.marginals)
    reduced = cost - matrix.T @ weights
    return Fraction(programme.constant + limits @ weights + np.minimum(0.0, reduced) @ highs)


def stretches(problem: Problem, reels: int, cells: int) -> list[Stretch]:
    """Evenings one by one at first, then more and more together, so that times reels there are so many."""
    windows = problem.windows
    count = cells // reels
    for step in range(len(windows), 0, -1):
        starts, place = [], 0
        while place < len(windows):
            starts.append(place)
            place += 1 + place // step
        if len(starts) <= count:
            break
    ends = [*starts[1:], len(windows)]
    return [
        Stretch(tuple(range(a, b)), windows[a].start, windows[b - 1].end)
        for a, b in zip(starts, ends, strict=True)
    ]
