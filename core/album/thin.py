"""Curves with as few nodes as they need."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.album.place import Curve

_APART_SECONDS = 1.0

Column = NDArray[np.float64]


def thinned(x: Column, y: Column, near: float, apart: float = _APART_SECONDS) -> list[int]:
    """Which nodes to keep so that lines between them stay within `near`, and no two lie `apart` or more.

    Ramer's, Douglas's and Peucker's way, with what is off taken along y.
    """
    keep = {0, len(x) - 1}
    seconds = np.floor((x - x[0]) / (0.95 * apart))
    keep.update((np.flatnonzero(np.diff(seconds)) + 1).tolist())
    ordered = sorted(keep)
    open_spans = list(pairwise(ordered))
    while open_spans:
        low, high = open_spans.pop()
        if high - low < 2:
            continue
        inner = slice(low + 1, high)
        line = y[low] + (y[high] - y[low]) * (x[inner] - x[low]) / (x[high] - x[low])
        off = np.abs(y[inner] - line)
        worst = int(off.argmax())
        if off[worst] > near:
            middle = low + 1 + worst
            keep.add(middle)
            open_spans += [(low, middle), (middle, high)]
    return sorted(keep)


def curve_of(x: Column, y: Column, near: float = 5e-6) -> Curve:
    """A curve through nodes that both rise, thinned."""
    keep = thinned(np.asarray(x), np.asarray(y), near)
    return Curve(tuple((float(x[at]), float(y[at])) for at in keep))
