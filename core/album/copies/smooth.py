"""A copy's curve without corners: where the seconds of the common clock lie in the capture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from core.album.copies.plan import Copy

if TYPE_CHECKING:
    pass


Column = NDArray[np.float64]
Places = Callable[[Column], Column]


def smooth_places(copy: Copy) -> Places:
    """Seconds of the common clock to seconds of the capture, without corners at the nodes.

    At a cut, where one of the two stands still, the curve has its corners: what lies beside it bends not.
    """
    song, capture = (np.array(column) for column in zip(*copy.curve.turned().nodes, strict=True))
    if len(song) == 2:
        return lambda at: np.asarray(copy.curve.capture(0.0) + _slope(song, capture) * at)
    runs = _between_cuts(song, capture, copy.curve.cuts())
    ends = _slope(song[:2], capture[:2]), _slope(song[-2:], capture[-2:])

    def places(at: Column) -> Column:
        inside = np.clip(at, song[0], song[-1])
        out = np.interp(inside, song, capture)
        for low, high, smooth in runs:
            here = (inside >= low) & (inside <= high)
            out[here] = smooth(inside[here])
        out += np.minimum(at - song[0], 0) * ends[0] + np.maximum(at - song[-1], 0) * ends[1]
        return np.asarray(out)

    return places


def _between_cuts(song: Column, capture: Column, cuts: Sequence[int]) -> list[tuple[float, float, Places]]:
    """From and to, in seconds of the common clock, and the smooth curve of each run without a cut."""
    from scipy.interpolate import PchipInterpolator

    even = np.ones(len(song) - 1, bool)
    even[list(cuts)] = False
    edges = np.flatnonzero(np.diff(np.concatenate(([False], even, [False])).astype(int)))
    return [
        (song[low], song[high], PchipInterpolator(song[low : high + 1], capture[low : high + 1]))
        for low, high in zip(edges[::2], edges[1::2], strict=True)
    ]


def _slope(x: Column, y: Column) -> float:
    return float((y[-1] - y[0]) / (x[-1] - x[0]))
