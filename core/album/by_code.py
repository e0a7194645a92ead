"""Where a capture lies on the clock of its timecode, by the places of the frames that its check read.

Frames lie where they lie: a straight line through ten minutes of them is up to a tenth of a second off on a
deck that drifts. Where the edges of the code are rough, neighbours are smoothed together.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.album.course import CodeCourse, Course
from core.album.paths import smoothed
from core.album.place import Curve
from core.album.thin import thinned
from core.values import dataclass

_FINE_SAMPLES = 0.1
"""Frames that scatter less than this are taken as they lie."""
_STIFFEST = 60.0
_NEAR_SAMPLES = 0.15
"""How near to the frames a curve stays when nodes are left out."""
_GAP_SECONDS = 1.0
_FEWEST = 10


@dataclass(frozen=True, slots=True)
class CodeRun:
    """A stretch of a capture over which one clock went on."""

    track: int
    rate: str
    curve: Curve
    """Seconds of the capture to seconds of the code's clock."""
    start: float
    end: float
    """Seconds of the capture over which frames were read."""
    error_ms: float
    """How far frames scatter around the curve, RMS."""
    gaps: tuple[tuple[float, float], ...]
    """Stretches of more than a second without a frame."""


def code_runs(course: Course) -> tuple[CodeRun, ...]:
    """Every run of every track of timecode that plays forward, the longest first."""
    runs = [run for code in course.code for run in _runs(code, course.sample_rate)]
    return tuple(sorted(runs, key=lambda run: run.start - run.end))


def _runs(code: CodeCourse, sample_rate: int) -> list[CodeRun]:
    found = []
    bounds = np.flatnonzero(np.diff(code.run, prepend=-1, append=-1)).tolist()
    for low, high in pairwise(bounds):
        places, counted = code.places[low:high], code.counted[low:high]
        if len(places) >= _FEWEST and counted[-1] > counted[0]:
            found.append(_run(code, places, counted, sample_rate))
    return found


def _run(
    code: CodeCourse, places: NDArray[np.float64], counted: NDArray[np.int64], sample_rate: int
) -> CodeRun:
    length = (places[-1] - places[0]) / (counted[-1] - counted[0])
    along = counted - counted[0]
    off = places - places[0] - length * along
    scatter = _scatter(along, off)
    grid = np.arange(along[-1] + 1)
    filled, weight = np.interp(grid, along, off), np.zeros(len(grid))
    weight[along] = 1.0
    if scatter > _FINE_SAMPLES:
        filled = smoothed(filled, weight, min(_STIFFEST, (scatter / _FINE_SAMPLES) ** 2))
    misses = float(np.sqrt(np.mean((filled[along] - off) ** 2)))
    x = (places[0] + length * grid + filled) / sample_rate
    y = (counted[0] + grid) / float(code.frames_per_second)
    keep = thinned(x, y, max(_NEAR_SAMPLES, scatter / 3) / sample_rate)
    nodes = tuple(zip(x[keep].tolist(), y[keep].tolist(), strict=True))
    at = places / sample_rate
    holes = np.flatnonzero(np.diff(at) > _GAP_SECONDS).tolist()
    gaps = tuple((float(at[hole]), float(at[hole + 1])) for hole in holes)
    told = max(misses, scatter / 3) * 1000 / sample_rate
    return CodeRun(code.track, code.rate, Curve(nodes), float(at[0]), float(at[-1]), told, gaps)


def _scatter(along: NDArray[np.int64], off: NDArray[np.float64]) -> float:
    """How far single frames lie beside their neighbours, in samples, by the median."""
    near = (np.diff(along)[1:] == 1) & (np.diff(along)[:-1] == 1)
    bends = np.abs(off[2:] - 2 * off[1:-1] + off[:-2])[near]
    return float(np.median(bends)) / (0.6745 * np.sqrt(6)) if len(bends) else 0.0
