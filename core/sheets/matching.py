"""All loose sheets at once: the whole answer that fits best, and by how much each pair is better than none.

``scipy.optimize.linear_sum_assignment`` finds the answer, "none of these" among each sheet's choices. The
margin of a pair is what its loss would cost the whole: the cheapest chain of sheets that give up their places
for one another, ending at a free one or coming round, less what another gains by the place that is left; the
chains between all sheets at once by Floyd and Warshall.
"""

from __future__ import annotations

import numpy as np

from core.values import dataclass

Matrix = np.ndarray
_NO_WAY = 1e9
SURE, LIKELY = 4.0, 2.0
"""Margins in nats: from 4 (55 : 1) sure, from 2 (7 : 1) likely."""


@dataclass(frozen=True, slots=True)
class Matched:
    """For every sheet the number of its place or None, and by how much the whole is worse without that."""

    places: tuple[int | None, ...]
    margins: tuple[float, ...]


def sureness(margin: float) -> str:
    """sure, likely or open."""
    return "sure" if margin >= SURE else "likely" if margin >= LIKELY else "open"


def matched(scores: Matrix, none: float) -> Matched:
    """The best whole answer; ``scores`` in nats, sheets down and places across, ``none`` that of no place."""
    from scipy.optimize import linear_sum_assignment

    sheets, places = scores.shape
    if not sheets:
        return Matched((), ())
    own = np.full((sheets, sheets), _NO_WAY)
    np.fill_diagonal(own, -none)
    cost = np.hstack((-scores, own))
    _, chosen = linear_sum_assignment(cost)
    margins = _margins(cost, chosen)
    return Matched(tuple(int(c) if c < places else None for c in chosen), tuple(float(m) for m in margins))


def _margins(cost: Matrix, chosen: Matrix) -> Matrix:
    """What losing its place would cost for each sheet."""
    count = len(chosen)
    have = cost[np.arange(count), chosen][:, None]
    free = np.ones(cost.shape[1], bool)
    free[chosen] = False
    to_free = (cost[:, free] - have).min(axis=1) if free.any() else np.full(count, _NO_WAY)
    step = cost[:, chosen] - have  # a sheet takes the place of another
    np.fill_diagonal(step, 0.0)
    way = step.copy()
    over = np.empty_like(way)
    for through in range(count):
        np.add(way[:, through, None], way[None, through, :], out=over)
        np.minimum(way, over, out=way)
    away = (way + to_free[None, :]).min(axis=1)
    np.fill_diagonal(way, _NO_WAY)
    taken_over = np.minimum(way.min(axis=0), 0.0)  # another sheet gains by the place that is left
    round_trip = (way + step.T).min(axis=1)
    margins: Matrix = np.minimum(np.minimum(away + taken_over, round_trip), _NO_WAY)
    return margins
