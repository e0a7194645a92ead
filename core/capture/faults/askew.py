"""A tape that runs askew for a while: neighbouring tracks that share sound come apart in time.

Two tracks whose middles lie s apart, on a tape that runs at v and turns by a, have the same sound
s tan(a) / v apart. A difference that is there all along may be the mix, or a head that was never lined
up; what tells is that it changes and comes back.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from core.capture.measures.neighbours import BLOCKS
from core.values import dataclass

_SHARES = 0.5
"""Part of the lines' weight whose phase is alike, from which two tracks share sound."""
_SURE = 5.0
"""Standard errors by which a stretch must stand out from the pass."""
_MOST_MINUTES = 20.0
"""More than this no guide lets a tape turn: it is the mix."""
_MOST_ERROR = 2.0
"""Minutes of arc; a stretch that is told less well tells nothing."""
_MOST_OFTEN = 0.35
"""Part of the pass that may be off; what is off more often is how the music is mixed."""
_APART = 2.0
"""A stretch stands out so many times as far as the farthest of those that are no more than usual."""
_FEWEST = 9
"""Stretches that share sound, from which the usual can be told."""

_GAUSS, _OUT, _ROUNDS = 1.4826, 2.5, 3
"""Standard deviation over the median of strays of chance; beyond so many a stretch stands out; that is asked
so often."""


@dataclass(frozen=True, slots=True)
class Askew:
    """One stretch over which the tape ran askew."""

    start: float
    stop: float
    minutes: float
    """Of arc, at the most, against the rest of the pass; its sign is that of the lower track being late."""
    pairs: tuple[int, ...]
    """Lower channels of the pairs that tell it."""


def askew(
    sums: np.ndarray, block_seconds: float, apart_metres: float, speed_ips: float, least: float
) -> list[Askew]:
    """Stretches off by `least` minutes of arc and more; `sums` as `Neighbours` tells them.

    A pair counts by its own scatter; all pairs that share sound must not contradict one another.
    """
    if not len(sums) or sums.shape[1] < _FEWEST:
        return []
    to_minutes = speed_ips * 0.0254 / apart_metres * 180 * 60 / np.pi
    pairs = [(row, pair) for row in range(len(sums)) if (pair := _pair(sums[row], to_minutes)) is not None]
    told = [pair for _, pair in pairs]
    if not told:
        return []
    turned, errors = np.array([one[0] for one in told]), np.array([one[1] for one in told])
    weight = np.where(np.isfinite(errors), 1 / np.maximum(errors, 1e-9) ** 2, 0.0)
    all_of = weight.sum(axis=0)
    mean = np.where(
        all_of > 0, (np.nan_to_num(turned) * weight).sum(axis=0) / np.maximum(all_of, 1e-12), np.nan
    )
    error = 1 / np.sqrt(np.maximum(all_of, 1e-12))
    off = (
        np.isfinite(mean)
        & (np.abs(mean) >= least)
        & (np.abs(mean) > _SURE * error)
        & (np.abs(mean) < _MOST_MINUTES)
    )
    heard = np.isfinite(mean)
    apart = _stands_apart(np.where(heard, np.abs(mean) / error, 0.0), off)
    stretches = _stretches(off, np.sign(np.nan_to_num(mean)))
    # A stretch is off that what turned fills in part: it lasted less long by those at its ends.
    lasts = sum(max(1, last - first - BLOCKS + 1) for first, last in stretches)
    if not apart or lasts > _MOST_OFTEN * heard.sum():
        return []
    rows = tuple(row for row, _ in pairs)
    return [
        Askew(first * block_seconds, (last + BLOCKS - 1) * block_seconds,
              float(max(mean[first:last], key=abs)), rows)
        for first, last in stretches
        if _agree(turned[:, first:last], mean[first:last])
    ]  # fmt: skip


def _stands_apart(strays: np.ndarray, off: np.ndarray) -> bool:
    """Whether any is off, and what is off strays much farther than all that does not touch it."""
    if not off.any():
        return False
    near = np.convolve(off, np.ones(2 * BLOCKS - 1), "same") > 0
    return bool(strays[off].max() >= _APART * strays[~near].max(initial=0.0))


def _pair(sums: np.ndarray, to_minutes: float) -> tuple[np.ndarray, np.ndarray] | None:
    """Minutes of arc by stretch against the whole pass, and their errors; none where nothing is shared."""
    sine, cosine, alike, weight, precision = sums.T
    with np.errstate(divide="ignore", invalid="ignore"):
        late, error = sine / cosine, 1 / np.sqrt(precision)
    shares = (weight > 0) & (np.abs(alike) >= _SHARES * weight) & (error * to_minutes < _MOST_ERROR)
    if np.count_nonzero(shares) < _FEWEST:
        return None
    late = np.where(shares, late, np.nan)
    usual, wider = _usual(late, error)
    # Stretches that differ by more than chance lets them: so is the music mixed.
    error = np.where(shares, error * max(1.0, wider), np.inf)
    return (late - usual) * to_minutes, error * to_minutes


def _usual(late: np.ndarray, error: np.ndarray) -> tuple[float, float]:
    """What a pass is usually late by, and how many of its errors stretches usually are off that.

    Both are told without the stretches that stand out of it.
    """
    usual = float(np.nanmedian(late))
    wider = _GAUSS * float(np.nanmedian(np.abs(late - usual) / error))
    for _ in range(_ROUNDS):
        near = np.abs(late - usual) <= _OUT * error * max(1.0, wider)
        if np.count_nonzero(near) < np.count_nonzero(np.isfinite(late)) / 2:
            break
        usual = float(np.average(late[near], weights=1 / error[near] ** 2))
        wider = _GAUSS * float(np.median(np.abs(late[near] - usual) / error[near]))
    return usual, wider


def _stretches(off: np.ndarray, sign: np.ndarray) -> list[tuple[int, int]]:
    """Unbroken rows of stretches that are off to one side."""
    marks = np.where(off, sign, 0)
    edges = np.flatnonzero(np.diff(np.concatenate(([0], marks, [0])))).tolist()
    return [(low, high) for low, high in pairwise(edges) if marks[low]]


def _agree(turned: np.ndarray, mean: np.ndarray) -> bool:
    """Whether most pairs that tell anything there turn the same way."""
    ways = np.nanmean(np.where(np.isfinite(turned), turned, np.nan), axis=1) if turned.size else np.zeros(0)
    heard = ways[np.isfinite(ways)]
    return bool(len(heard)) and float(np.mean(np.sign(heard) == np.sign(mean.mean()))) > 0.7
