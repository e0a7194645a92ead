"""How well two captures agree along a curve: what is told of a match, and when it is taken."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.album.sound.correlated import WORK_HZ
from core.album.sound.lags import Lags

AGREE_MS = 0.5
"""A second agrees whose own lag lies so near to the curve."""
STANDS = 5.0
"""Times chance from which a second counts as a node."""
LEAST_QUALITY, LEAST_AGREE, LEAST_SURE, MOST_MISFIT_MS, LEAST_SECONDS = 5.0, 0.45, 0.4, 0.5, 8
"""What a match must reach: see docs/clock.md for what same and other takes give on fresh songs."""

Column = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Match:
    """How one capture lies in another, with what proves it."""

    here: Column
    """Seconds of the one capture, one node a second."""
    there: Column
    """Where they lie in the other."""
    sure: NDArray[np.bool_]
    """Nodes that waveforms hold; what lies between is carried over."""
    polarity: int
    quality: float
    """Median over sounding seconds of how many times chance the likeness is."""
    agree: float
    """Share of sounding seconds whose own lag lies within half a millisecond of the curve."""
    misfit_ms: float
    """How far the nodes lie from the smooth curve, RMS."""
    likeness: float = 0.0
    """Median of the part-whitened likeness itself; 1 is the very same sound."""
    held: float = 0.0
    """Share of sounding seconds that are nodes."""
    sounding: int = 0
    """Seconds in which both captures sound."""
    cuts: tuple[tuple[float, float], ...] = ()
    """Seconds of the first capture at which one of the two was cut, and how much is in the first only;
    negative for what is in the second only."""

    @property
    def proved(self) -> bool:
        """Whether waveforms prove that the two share sound here."""
        return (
            self.quality >= LEAST_QUALITY and self.agree >= LEAST_AGREE and self.held >= LEAST_SURE
            and self.misfit_ms <= MOST_MISFIT_MS and int(self.sure.sum()) >= LEAST_SECONDS
        )  # fmt: skip

    @property
    def says(self) -> str:
        """The three figures in words."""
        return (
            f"{self.quality:.1f} times chance, {100 * self.agree:.0f} % of {self.sounding} seconds agree, "
            f"misfit {self.misfit_ms:.2f} ms" + (", opposed" if self.polarity < 0 else "")
        )  # fmt: skip

    @property
    def gaps(self) -> tuple[tuple[float, float], ...]:
        """Stretches of three seconds and more without a node, in seconds of the first capture."""
        at = self.here[self.sure]
        steps = np.flatnonzero(np.diff(at) > 3.5).tolist()
        return tuple((float(at[step]), float(at[step + 1])) for step in steps)


def judged(here: Column, there: Column, sounding: NDArray[np.bool_], lags: Lags, smooth: Column) -> Match:
    """The match along a curve, as far as it goes; all of it where that does not prove anything."""
    part = _judged(here, there, sounding, lags, smooth, whole=False)
    return part if part.proved else _judged(here, there, sounding, lags, smooth, whole=True)


def _judged(
    here: Column, there: Column, sounding: NDArray[np.bool_], lags: Lags, smooth: Column, *, whole: bool
) -> Match:
    to_ms = 1000 / WORK_HZ
    off = np.abs(lags.samples - smooth) * to_ms
    near = np.abs(lags.alone - smooth) * to_ms < AGREE_MS
    sure = sounding & (lags.stands > STANDS) & (off < AGREE_MS)
    sure &= _agreed(sure, near)
    part = slice(0, len(here)) if whole else _best_part(sounding, sure | (near & sounding))
    heard = sounding[part]
    if not heard.any():
        return Match(here, there, sure & False, lags.polarity, 0.0, 0.0, 0.0)
    nodes = sure[part]
    misfit = float(np.sqrt(np.mean(off[part][nodes] ** 2))) if nodes.any() else 0.0
    return Match(
        here[part], there[part], nodes, lags.polarity, float(np.median(lags.stands[part][heard])),
        float(near[part][heard].mean()), misfit, float(np.median(lags.height[part][heard])),
        float(nodes[heard].mean()), int(heard.sum()),
    )  # fmt: skip


def _agreed(sure: NDArray[np.bool_], near: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Nodes in unbroken rows of which at least half would choose that lag by themselves.

    Between two rests a phrase may lie a period of its pitch off as a whole; then its seconds know better.
    """
    edges = np.flatnonzero(np.diff(np.concatenate(([False], sure, [False])).astype(np.int8)))
    good = np.zeros(len(sure), bool)
    for low, high in edges.reshape(-1, 2).tolist():
        good[low:high] = near[low:high].mean() >= 0.5
    return good


def _best_part(sounding: NDArray[np.bool_], good: NDArray[np.bool_]) -> slice:
    """The stretch over which most seconds are good: what lies before and after it shares nothing."""
    worth = np.where(good, 1.0, np.where(sounding, -0.35, 0.0))
    total = np.concatenate(([0.0], np.cumsum(worth)))
    lowest = np.minimum.accumulate(total)
    last = int(np.argmax(total - lowest))
    first = int(np.argmin(total[: last + 1])) if last else 0
    while first < last and not good[first]:
        first += 1
    return slice(first, max(last, first))
