"""A straight line between two captures bent to a coarse curve by the rises of their levels: some 10 ms."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.album.levels import Levels
from core.album.paths import between, likeliest_path, smoothed
from core.album.sound.needle_lines import Line
from core.album.sound.needles import rises

STEP_SECONDS = 2.0
_WINDOW_SECONDS = 12.0
_REACH_SECONDS = 0.6
"""How far beside the line the curve may run."""
_STIFF = 200.0
"""Bends slower than about a minute are followed here; what sways faster is left to the waveforms."""

Pairs = tuple[NDArray[np.float64], NDArray[np.float64]]
"""Seconds of the one capture, and where they lie in the other."""


def coarse_curve(here: Levels, there: Levels, line: Line) -> Pairs:
    """The line followed on features: a node every two seconds of the stretch that both captures have."""
    hertz = here.hertz
    one, two = rises(here), rises(there)
    first, last = overlap(line, one.shape[1] / hertz, two.shape[1] / there.hertz)
    rows = np.arange(int(first * hertz), int(last * hertz))
    if len(rows) < 2 * hertz:
        ends = np.array([first, max(last, first + 1)], np.float64)
        return ends, np.asarray(line.start + line.rate * ends)
    reach = round(_REACH_SECONDS * hertz)
    like = _likeness(one, two, rows, (line.start, line.rate), hertz, there.hertz, reach)
    step = max(1, round(STEP_SECONDS * hertz))
    scores = np.ascontiguousarray(like[:, ::step].T)
    scores = np.asarray(np.maximum(scores, 0) / max(1e-6, float(scores.std())), np.float32)
    path = likeliest_path(scores**2, 3, 2.0)
    weights = scores[np.arange(len(path)), path].astype(np.float64) ** 2
    weights = np.minimum(weights / max(1e-6, float(np.median(weights))), 3.0)
    lags = smoothed(path + between(scores, path), weights, _STIFF)
    seconds = np.asarray(rows[::step] / hertz, np.float64)
    return seconds, np.asarray(line.start + line.rate * (seconds + (lags - reach) / hertz))


def overlap(line: Line, here: float, there: float) -> tuple[float, float]:
    """From where to where of the one capture, in its seconds, the other has something too."""
    ends = sorted(((0 - line.start) / line.rate, (there - line.start) / line.rate))
    return max(0.0, ends[0]), min(here, ends[1])


def _likeness(
    one: NDArray[np.float32], two: NDArray[np.float32], rows: NDArray[np.int64],
    line: tuple[float, float], hertz: float, other_hertz: float, reach: int,
) -> NDArray[np.float32]:  # fmt: skip
    """Lags by rows: how like the two are around each row, if the other lies so many rows later."""
    wide = np.arange(rows[0] - reach, rows[-1] + reach + 1)
    at = (line[0] + line[1] * wide / hertz) * other_hertz
    low = np.clip(np.floor(at).astype(np.int64), 0, two.shape[1] - 2)
    share = np.clip(at - low, 0, 1).astype(np.float32)
    there = two[:, low] * (1 - share) + two[:, low + 1] * share
    there[:, (at < 0) | (at > two.shape[1] - 1)] = 0
    here = one[:, rows]
    span = max(3, round(_WINDOW_SECONDS * hertz) // 2)
    out = np.empty((2 * reach + 1, len(rows)), np.float32)
    for lag in range(2 * reach + 1):
        product = np.einsum("br,br->r", here, there[:, lag : lag + len(rows)], dtype=np.float64)
        total = np.concatenate(([0.0], np.cumsum(product)))
        ends = np.arange(len(rows))
        out[lag] = total[np.minimum(ends + span, len(rows))] - total[np.maximum(ends - span, 0)]
    return out
