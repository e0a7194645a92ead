"""True peak: the largest value of the sound between its samples, by four times oversampling.

The filter is the usual one of polyphase resampling (a windowed sinc of 81 taps, Kaiser 5.0). A short
pass is oversampled wherever it comes near its loudest; of a long one the loudest places of every
third of a second or so are.
"""

from __future__ import annotations

import numpy as np

from core.capture.history import EXTREME_FRAMES, History
from core.capture.windows import Windows

FACTOR = 4
REACH = 10
"""Samples on either side that an interpolated value depends on."""
NEAR = 0.45
"""A place counts if its own peak is at least this part of the true peak so far."""
IN_FULL_SAMPLES = 24_000_000
"""A pass of so many samples over all channels is looked at wherever it is loud."""


def interpolator() -> np.ndarray:
    """Three filters of 20 taps that give the values a quarter, a half and three quarters on."""
    from scipy.signal import firwin

    taps = firwin(2 * REACH * FACTOR + 1, 1 / FACTOR, window=("kaiser", 5.0)) * FACTOR
    return np.stack([taps[phase::FACTOR] for phase in range(1, FACTOR)])


class TruePeak:
    """Follows the true peak of every channel, in planar units."""

    def __init__(self, history: History, total_frames: int) -> None:
        self._history = history
        self.peak = np.zeros(history.channels)
        samples = total_frames * history.channels
        self._most = None if samples <= IN_FULL_SAMPLES else 2
        self._filters = interpolator().astype(np.float32)
        self._waiting: tuple[int, np.ndarray] | None = None
        """The group not yet looked at: its start, and the peaks of its stretches."""

    def add(self, windows: Windows) -> None:
        """Note one group's peaks; they are looked at when what follows them is there too."""
        peaks = windows.peaks
        np.maximum(self.peak, peaks.max(axis=1), out=self.peak)
        self.finish()
        self._waiting = windows.chunk.start, peaks

    def finish(self) -> None:
        """Look at what is left."""
        if self._waiting is not None:
            self._look(*self._waiting)
            self._waiting = None

    def _look(self, first: int, peaks: np.ndarray) -> None:
        wanted = peaks >= np.maximum(NEAR * self.peak, 1e-300)[:, None]
        if self._most is not None:
            floor = np.partition(peaks, -self._most, axis=1)[:, -self._most]
            wanted &= peaks >= np.maximum(floor, 0.7 * self.peak)[:, None]
        channels, stretches = np.nonzero(wanted)
        for at in range(0, len(channels), 2048):
            self._between(channels[at : at + 2048], first + stretches[at : at + 2048] * EXTREME_FRAMES)

    def _between(self, channels: np.ndarray, starts: np.ndarray) -> None:
        rows = self._history.stretches(channels, starts - REACH, EXTREME_FRAMES + 2 * REACH)
        rows = rows.astype(np.float32)
        largest = np.zeros(len(rows), np.float32)
        for taps in self._filters:
            between = np.zeros((len(rows), EXTREME_FRAMES), np.float32)
            for tap, weight in enumerate(taps):
                at = 2 * REACH - tap
                between += rows[:, at : at + EXTREME_FRAMES] * weight
            np.maximum(largest, np.abs(between).max(axis=1), out=largest)
        np.maximum.at(self.peak, channels, largest.astype(np.float64))
