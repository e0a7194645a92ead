"""A tape that runs askew for a while: neighbouring tracks that share sound come apart in time.

Two tracks whose middles lie s apart, on a tape that runs at v and turns by a, have the same sound
s tan(a) / v apart. A difference that is there all along may be the mix, or a head that was never lined
up; what tells is that it changes and comes back.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from core.capture.measures.sliding import sums_along
from core.values import dataclass

BLOCK_SECONDS, BLOCKS = 2.5, 4
"""A stretch that is looked at is so many blocks long, and begins with every block."""
_SHARES = 0.5
"""Real part of the cross spectrum over its magnitude, from which two tracks share sound."""
_SURE = 5.0
"""Standard errors by which a stretch must stand out from the pass."""
_MOST_MINUTES = 20.0
"""More than this no guide lets a tape turn: it is the mix."""
_MOST_OFTEN = 0.35
"""Part of the pass that may be off; what is off more often is how the music is mixed."""
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
    sums: np.ndarray, moment_seconds: float, apart_metres: float, speed_ips: float, least: float
) -> list[Askew]:
    """Stretches off by `least` minutes of arc and more; `sums` as `Neighbours` keeps them.

    A pair counts by its own scatter; all pairs that share sound must not contradict one another.
    """
    if not len(sums) or sums.shape[1] * moment_seconds < (_FEWEST + BLOCKS - 1) * BLOCK_SECONDS:
        return []
    to_minutes = speed_ips * 0.0254 / apart_metres * 180 * 60 / np.pi
    told = [
        pair for row in range(len(sums)) if (pair := _pair(sums[row], moment_seconds, to_minutes)) is not None
    ]
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
    if not off.any() or off.sum() > _MOST_OFTEN * heard.sum():
        return []
    rows = [row for row, one in enumerate(sums) if _pair(one, moment_seconds, to_minutes) is not None]
    return [
        Askew(first * BLOCK_SECONDS, (last + BLOCKS - 1) * BLOCK_SECONDS,
              float(max(mean[first:last], key=abs)), tuple(rows))
        for first, last in _stretches(off, np.sign(np.nan_to_num(mean)))
        if _agree(turned[:, first:last], mean[first:last])
    ]  # fmt: skip


def _pair(sums: np.ndarray, moment_seconds: float, to_minutes: float) -> tuple[np.ndarray, np.ndarray] | None:
    """Minutes of arc by stretch against the whole pass, and their errors; none where nothing is shared."""
    whole = sums.sum(axis=0, dtype=np.float64)
    if whole[3] <= 0 or abs(whole[2]) < _SHARES * whole[3]:
        return None
    a_block = max(1, round(BLOCK_SECONDS / moment_seconds))
    count = len(sums) // a_block
    blocks = sums[: count * a_block].reshape(count, a_block, 4).astype(np.float64)
    total = sums_along(blocks.sum(axis=1).T, BLOCKS).T
    shares = (total[:, 3] > 0.02 * total[:, 3].max()) & (np.abs(total[:, 2]) >= _SHARES * total[:, 3])
    if np.count_nonzero(shares) < _FEWEST:
        return None
    with np.errstate(divide="ignore", invalid="ignore"):
        late = np.where(shares, total[:, 0] / total[:, 1], np.nan)
        error = np.sqrt(_strays(blocks, late)) / np.abs(total[:, 1])
    usual, sway = _usual(late, error)
    # What stretches usually differ by, beyond their own scatter, is how the music is mixed.
    error = np.where(shares, np.hypot(error, sway), np.inf)
    return (late - usual) * to_minutes, error * to_minutes


def _usual(late: np.ndarray, error: np.ndarray) -> tuple[float, float]:
    """What a pass is usually late by and how it sways, told without the stretches that stand out of it."""
    usual = float(np.nanmedian(late))
    sway = _GAUSS * float(np.nanmedian(np.abs(late - usual)))
    for _ in range(_ROUNDS):
        near = np.abs(late - usual) <= _OUT * np.hypot(error, sway)
        if np.count_nonzero(near) < np.count_nonzero(np.isfinite(late)) / 2:
            break
        usual = float(np.median(late[near]))
        sway = _GAUSS * float(np.median(np.abs(late[near] - usual)))
    return usual, sway


def _strays(blocks: np.ndarray, late: np.ndarray) -> np.ndarray:
    """By stretch the sum of squares of what the moments' first sums are off their second times `late`."""
    one, two = blocks[:, :, 0], blocks[:, :, 1]
    products = np.stack([(one * one).sum(axis=1), (one * two).sum(axis=1), (two * two).sum(axis=1)])
    ones, both, twos = sums_along(products, BLOCKS)
    strays: np.ndarray = np.maximum(ones - 2 * late * both + late**2 * twos, 0.0)
    return strays


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
