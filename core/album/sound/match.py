"""How well two captures agree along a curve: what is told of a match, and what proves it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.values import dataclass

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
