"""Wow that grows along a pass, as where the pack drags more and more: told by how timecode sways."""

from __future__ import annotations

import numpy as np

from core.values import dataclass

STEP_SECONDS = 0.1
_SLOW_STEPS = 31
"""Slower changes of speed than these three seconds are drift, and no wow."""
PARTS, LEAST_SECONDS = 12, 50.0
_GROWS = 2.0
_BEGUN = 1.4
_RISES = 0.7
"""Rank correlation of the sway with the place, from which it grows rather than comes and goes."""


@dataclass(frozen=True, slots=True)
class Wow:
    """How much the speed sways at first and at the end of a stretch: two sigma, percent."""

    began: float
    """Seconds of the pass from which it is clearly more than at first."""
    end: float
    first_percent: float
    last_percent: float


def growing_wow(seconds: np.ndarray, clock: np.ndarray, run: np.ndarray, least_percent: float) -> Wow | None:
    """The wow that grows in the longest run of a track of timecode; none where it does not."""
    numbers, counts = np.unique(run, return_counts=True)
    mine = run == numbers[int(counts.argmax())]
    at, told = seconds[mine], np.abs(clock[mine] - clock[mine][0])
    if at[-1] - at[0] < LEAST_SECONDS:
        return None
    sways = _sways(at, told)
    first, last = float(np.median(sways[: PARTS // 3])), float(np.median(sways[-PARTS // 4 :]))
    order = np.argsort(np.argsort(sways))
    rises = float(np.corrcoef(order, np.arange(PARTS))[0, 1])
    if last < least_percent or last < _GROWS * first or rises < _RISES:
        return None
    calm = np.flatnonzero(sways < _BEGUN * first)
    part = (at[-1] - at[0]) / PARTS
    return Wow(float(at[0] + (int(calm[-1]) + 1) * part), float(at[-1]), first, last)


def _sways(at: np.ndarray, told: np.ndarray) -> np.ndarray:
    """Percent that 95 % of the time is not exceeded, by equal parts."""
    from scipy.ndimage import uniform_filter1d

    places = np.arange(at[0], at[-1], STEP_SECONDS)
    speed = np.diff(np.interp(places, at, told)) / STEP_SECONDS
    off = 100 * (speed / uniform_filter1d(speed, _SLOW_STEPS, mode="nearest") - 1)
    return np.array([np.quantile(np.abs(part), 0.95) for part in np.array_split(off, PARTS)])
