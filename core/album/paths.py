"""Paths chosen jointly: one lag a step, so that all together are likeliest and speed changes little."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Scores = NDArray[np.float32]
_NEVER = -1e9


def likeliest_path(scores: Scores, steepest: int, bend: float) -> NDArray[np.int64]:
    """One lag a step from scores (steps by lags), by dynamic programming over lag and slope.

    From step to step the lag moves by the slope, at most `steepest` lags; the slope changes by at most two of
    these, at a cost of `bend` times the square of the change. So a path can sway, but not slip: a slip needs
    slopes that no tape has.
    """
    steps, lags = scores.shape
    slopes = 2 * steepest + 1
    best = np.full((steps, slopes + 4, lags), _NEVER, np.float32)
    best[0, 2:-2] = scores[0]
    wide = np.full((slopes, lags + 2 * steepest), _NEVER, np.float32)
    turned = wide[:, steepest : steepest + lags]
    moved = _skewed(wide, steepest, lags)
    for step in range(1, steps):
        _turn(best[step - 1], np.float32(bend), turned)
        np.add(moved, scores[step], out=best[step, 2:-2])
    return _traced(best, bend, steepest)


def _skewed(wide: Scores, steepest: int, lags: int) -> Scores:
    """A view in which every slope's row is moved by it; what comes from outside cannot be."""
    row, lag = wide.strides
    view = np.lib.stride_tricks.as_strided
    return np.asarray(view(wide[:, 2 * steepest :], (len(wide), lags), (row - lag, lag), writeable=False))


def _turn(best: Scores, bend: np.float32, out: Scores) -> None:
    """The best way to have a slope at a lag, if the slope may have changed by two at most."""
    one = np.maximum(best[1:-3], best[3:-1])
    two = np.maximum(best[:-4], best[4:])
    one -= bend
    two -= 4 * bend
    np.maximum(one, two, out=one)
    np.maximum(best[2:-2], one, out=out)


def _traced(best: Scores, bend: float, steepest: int) -> NDArray[np.int64]:
    """The lags of the best way, from its end; slopes change as little as they can."""
    order = np.array([0, -1, 1, -2, 2])
    row, lag = divmod(int(best[-1, 2:-2].argmax()), best.shape[2])
    path = np.empty(len(best), np.int64)
    for step in range(len(best) - 1, 0, -1):
        path[step] = lag
        lag -= row - steepest
        row += int(order[np.argmax(best[step - 1, row + 2 + order, lag] - bend * order**2)])
    path[0] = lag
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
