"""Paths chosen jointly: one lag a step, so that all together are likeliest and speed changes little."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Scores = NDArray[np.float32]


def likeliest_path(scores: Scores, steepest: int, bend: float) -> NDArray[np.int64]:
    """One lag a step from scores (steps by lags), by dynamic programming over lag and slope.

    From step to step the lag moves by the slope, at most `steepest` lags; the slope changes by at most two of
    these, at a cost of `bend` times the square of the change. So a path can sway, but not slip: a slip needs
    slopes that no tape has.
    """
    steps, lags = scores.shape
    slopes = np.arange(-steepest, steepest + 1)
    best = np.repeat(scores[0][None, :], len(slopes), axis=0).astype(np.float32)
    back = np.zeros((steps, len(slopes), lags), np.int8)
    costs = np.float32(bend) * np.arange(-2, 3, dtype=np.float32) ** 2
    for step in range(1, steps):
        best, back[step] = _turned(best, costs)
        best = _moved(best, slopes)
        best += scores[step]
    return _traced(best, back, slopes)


def _turned(best: Scores, costs: Scores) -> tuple[Scores, NDArray[np.int8]]:
    """The best way to have a slope at a lag, and by how much the slope changed for it."""
    count = len(best)
    out = best.copy()
    change = np.zeros(best.shape, np.int8)
    for cost, by in zip(costs, range(-2, 3), strict=True):
        if by == 0:
            continue
        low, high = max(0, by), min(count, count + by)
        before = best[low - by : high - by] - cost
        better = before > out[low:high]
        np.copyto(out[low:high], before, where=better)
        np.copyto(change[low:high], np.int8(by), where=better)
    return out, change


def _moved(best: Scores, slopes: NDArray[np.int64]) -> Scores:
    """Every slope's row moved by it; what comes from outside cannot be."""
    out = np.full_like(best, -1e9)
    for row, slope in enumerate(slopes.tolist()):
        if slope >= 0:
            out[row, slope:] = best[row, : best.shape[1] - slope]
        else:
            out[row, :slope] = best[row, -slope:]
    return out


def _traced(best: Scores, back: NDArray[np.int8], slopes: NDArray[np.int64]) -> NDArray[np.int64]:
    row, lag = divmod(int(best.argmax()), best.shape[1])
    path = np.empty(len(back), np.int64)
    for step in range(len(back) - 1, -1, -1):
        path[step] = lag
        if step == 0:
            break
        lag -= int(slopes[row])
        row -= int(back[step, row, lag])
    return path


def between(values: Scores, at: NDArray[np.int64]) -> NDArray[np.float64]:
    """How far beside the peak near each row's place the top of a parabola lies, in lags."""
    rows = np.arange(len(values))
    inner = np.clip(at, 1, values.shape[1] - 2)
    left, middle, right = (values[rows, inner + by].astype(np.float64) for by in (-1, 0, 1))
    dip = left - 2 * middle + right
    top = np.where(dip < 0, 0.5 * (left - right) / np.where(dip < 0, dip, -1), 0)
    return np.asarray(np.clip(top, -1, 1) + inner - at)


def smoothed(values: NDArray[np.float64], weights: NDArray[np.float64], stiff: float) -> NDArray[np.float64]:
    """Evenly spaced values with weights, smoothed so that bends cost `stiff` (Whittaker's method)."""
    from scipy.linalg import solveh_banded

    n = len(values)
    if n < 3:
        return values.copy()
    bands = np.zeros((3, n))
    main = np.full(n, 6.0)
    main[[0, -1]], main[[1, -2]] = 1.0, 5.0
    if n == 3:
        main[:] = (1.0, 4.0, 1.0)
    off = np.full(n - 1, -4.0)
    off[[0, -1]] = -2.0
    bands[0, 2:], bands[1, 1:], bands[2] = stiff, stiff * off, stiff * main + weights + 1e-12
    return np.asarray(solveh_banded(bands, weights * values))
