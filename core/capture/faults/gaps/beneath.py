"""What a gap in a sound holds: the same sound, only weaker, or something else.

The sound on either side of the gap tells a filter that cancels it (linear prediction). Sound that goes
on beneath a dropout is cancelled as well as its surroundings are; noise in a rest, the tail of one note
and the attack of the next are not.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from core.capture.measures.loud.decibels import decibels
from core.capture.measures.low_pass import low_pass, slower
from core.capture.measures.sliding import quantile

SLOW_HZ = 12000
ORDER = 40
SIDE_SECONDS = 0.06
CLEAR_SECONDS = 0.003
"""The edges of the gap themselves are left out of the sound that the filter is told by."""
_SMOOTH_SECONDS = 0.0015


def left_over_db(
    sound: np.ndarray, start: int, stop: int, rate: int, steps: float = 0.0
) -> tuple[float, float]:
    """What of the sound the filter leaves in a gap, and beside it, in dB of the sound at each place.

    `steps` is the power of the noise that rounding to the samples' depth has made: the filter cannot cancel
    it, and it is taken off what is left.
    """
    down = max(1, round(rate / SLOW_HZ))
    slow, pace = sound if down == 1 else slower(sound, _low_pass(down), down), rate / down
    first, last = start / down, stop / down
    clear, side = int(CLEAR_SECONDS * pace), int(SIDE_SECONDS * pace)
    low, high = int(first) - clear, int(last) + clear
    before, after = slow[max(0, low - side) : low], slow[high : high + side]
    weights = cancelling(before, after)
    if weights is None:
        return 0.0, 0.0
    noise = steps * (float(np.sum(_low_pass(down) ** 2)) if down > 1 else 1.0)
    left = np.minimum(_left(slow, weights, pace, noise), _left(slow[::-1], weights, pace, noise)[::-1])
    trim = int((last - first) * 0.12)
    core = left[int(first) + trim : max(int(first) + trim + 1, int(last) - trim)]
    beside = np.concatenate((left[low - len(before) + ORDER : low], left[high : high + len(after) - ORDER]))
    return quantile(core, 0.35), quantile(beside, 0.5)


def cancelling(*parts: np.ndarray) -> np.ndarray | None:
    """The filter that leaves least of all the parts, by the covariance method; none if they are too short."""
    square = np.zeros((ORDER + 1, ORDER + 1))
    for part in parts:
        if len(part) > 2 * ORDER:
            square += _products(part)
    trace = float(np.trace(square))
    if trace <= 0:
        return None
    inner = square[1:, 1:] + np.eye(ORDER) * (1e-7 * trace / ORDER)
    return np.concatenate(([1.0], -np.linalg.solve(inner, square[1:, 0])))


def _products(sound: np.ndarray) -> np.ndarray:
    """Sums of the sound times itself for every pair of delays up to the order, over the same moments.

    Of two delays one more each the sum is that of both, with one moment more at its start and one less at
    its end: so only the first row is summed.
    """
    size = ORDER + 1
    rows = np.zeros((size, 2 * size))
    rows[0, :size] = np.correlate(sound, sound[ORDER:], "valid")[::-1]
    first, last = sound[ORDER - 1 :: -1], sound[:-size:-1]
    rows[1:, 1:size] = first[:, None] * first - last[:, None] * last
    step = rows.itemsize
    slanting = np.lib.stride_tricks.as_strided(rows, (size, size), ((2 * size + 1) * step, step))
    slanting[:] = np.cumsum(slanting, axis=0)
    upper = np.triu(rows[:, :size])
    square: np.ndarray = upper + np.triu(upper, 1).T
    return square


def _left(sound: np.ndarray, weights: np.ndarray, pace: float, noise: float) -> np.ndarray:
    """Power after the filter over power before it, in dB, along the sound."""
    from scipy.ndimage import uniform_filter1d

    size = max(3, int(_SMOOTH_SECONDS * pace))
    after = uniform_filter1d(np.convolve(sound, weights)[: len(sound)] ** 2, size)
    before = uniform_filter1d(sound**2, 2 * size)
    # What hardly stands above the noise of rounding tells nothing.
    after -= np.where(before > 10 * noise, noise * float(weights @ weights), 0.0)
    return decibels((np.maximum(after, 1e-22) / np.maximum(before, 1e-22)).astype(np.float32))


@lru_cache(maxsize=8)
def _low_pass(down: int) -> np.ndarray:
    return low_pass(16 * down + 1, 0.8 / down)
