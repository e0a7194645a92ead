"""The lines that the places of needles lie on: one recording at one speed."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.values import dataclass

NEEDLE_SECONDS = 24.0


SPEED_STEP = 0.004


_NEAR_SECONDS = 0.35


Columns = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Line:
    """b = start + rate x a: where the seconds of one capture lie in another."""

    start: float
    rate: float
    needles: int
    """How many needles lie on it."""
    of: int
    """How many were looked for."""
    score: float
    """Sum of how far these stand out, in standard deviations of everything else."""

    def at(self, seconds: float) -> float:
        """The second of the other capture."""
        return self.start + self.rate * seconds


@dataclass(frozen=True, slots=True)
class Found:
    """Where one needle seems to lie: its second and the other capture's, the rate, how it stands out."""

    here: float
    there: float
    rate: float
    stands: float


def lines_of(
    found: list[Found], needles: int, near: float = _NEAR_SECONDS, step: float = SPEED_STEP
) -> list[Line]:
    """Lines on which needles lie, the best first, at most three that differ; `step` between their speeds."""
    if not found:
        return []
    table = np.array([(one.here, one.there, one.rate, one.stands) for one in found])
    tries = _tries(table, near, step)
    scores, on = _held(table, tries, near, step)
    out: list[Line] = []
    tried: set[int] = set()
    for best in np.argsort(-scores, kind="stable").tolist():
        if int(tries[best, 0]) in tried:
            continue
        tried.add(int(tries[best, 0]))
        line = _line(table, on[best][on[best] >= 0], tries[best], needles, float(scores[best]))
        if all(abs(line.at(table[0, 0]) - old.at(table[0, 0])) > 2 * near for old in out):
            out.append(line)
        if len(out) == 3:
            break
    return out


def _line(table: Columns, on: NDArray[np.int64], tried: Columns, needles: int, score: float) -> Line:
    """One line, laid anew through all the needles that lie on it."""
    if len(on) > 1:
        slope, start = np.polyfit(table[on, 0], table[on, 1], 1, w=table[on, 3])
        return Line(float(start), float(slope), len(on), needles, score)
    here, there = table[int(tried[0]), :2].tolist()
    rate = float(tried[1])
    return Line(there - rate * here, rate, len(on), needles, score)


def _tries(table: Columns, near: float, step: float) -> Columns:
    """Rows and rates of lines: through every needle at its own rate, or by another that is far from it."""
    here, there, rate, _ = table.T
    far = here[None, :] - here[:, None]
    away = np.abs(far) > NEEDLE_SECONDS / 2
    by_other = (there[None, :] - there[:, None]) / np.where(away, far, 1)
    open_ = 1.5 * step + 2 * near / np.maximum(np.abs(far), 1) * 0.1
    one, other = np.nonzero(away & (np.abs(by_other / rate[:, None] - 1) < open_))
    through = np.concatenate((np.arange(len(table)), one))
    return np.column_stack((through, np.concatenate((rate, by_other[one, other]))))


def _held(
    table: Columns, tries: Columns, near: float, step: float
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Of every line what its needles stand out by together, and of every needle the row that lies on it best.

    Rows of one needle lie together; where none of them is on the line it is row -1.
    """
    here, there, rate, stands = table.T
    through, slope = tries[:, 0].astype(np.int64), tries[:, 1, None]
    fits = np.abs(there[through, None] + slope * (here - here[through, None]) - there) < near
    fits &= np.abs(rate / slope - 1) < 2.5 * step
    worth = np.where(fits, stands, 0.0)
    edges = np.flatnonzero(np.diff(here, prepend=-np.inf))
    groups = [worth[:, low:high] for low, high in pairwise([*edges.tolist(), len(here)])]
    best = np.stack([group.max(axis=1) for group in groups], axis=1)
    rows = np.stack([group.argmax(axis=1) for group in groups], axis=1) + edges
    return best.sum(axis=1), np.where(best > 0, rows, -1)
