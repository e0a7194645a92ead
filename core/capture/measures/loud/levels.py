"""Peak, RMS, DC, clipped and zero samples of every channel over the whole pass."""

from __future__ import annotations

import numpy as np

from core.capture.measures.history import History
from core.capture.measures.windows import Windows


class Levels:
    """Sums over the pass, one entry a channel, in planar units."""

    def __init__(self, history: History) -> None:
        channels = history.channels
        self.scale = history.scale
        self.frames = 0
        self.highest = np.zeros(channels)
        """Largest magnitude."""
        self.squares = np.zeros(channels)
        self.sums = np.zeros(channels)
        self.zeros = np.zeros(channels, np.int64)
        self.clipped = np.zeros(channels, np.int64)

    def add(self, windows: Windows) -> None:
        """Count one group in."""
        self.frames += windows.chunk.frames
        self.zeros += windows.zeros
        np.maximum(self.highest, np.abs(windows.highest).max(axis=0), out=self.highest)
        self.squares += windows.energy.sum(axis=1, dtype=np.float64)
        self.sums += windows.sums.sum(axis=1, dtype=np.float64)

    @property
    def peak(self) -> np.ndarray:
        """Largest magnitude, full scale 1."""
        peak: np.ndarray = self.highest * self.scale.unit
        return peak

    @property
    def rms(self) -> np.ndarray:
        """Root mean square, full scale 1: a full-scale sine is 0.7071."""
        rms: np.ndarray = np.sqrt(self.squares / max(1, self.frames)) * self.scale.unit
        return rms

    @property
    def dc(self) -> np.ndarray:
        """Signed mean over full scale."""
        dc: np.ndarray = self.sums / max(1, self.frames) * self.scale.unit
        return dc


def decibels(value: float) -> float | None:
    """20 log10 of a part of full scale; none for zero."""
    return None if value <= 0 else float(20 * np.log10(value))
