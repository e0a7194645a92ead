"""The level of every track in a few bands along the pass, some fifty times a second.

It costs next to nothing: the low bands come from the short sums that hum is heard in (about 3 kHz), the
high one is what the whole holds more than they.
"""

from __future__ import annotations

import numpy as np

from core.album.course import Levels
from core.capture.measures.history import WINDOWS_A_GROUP, History
from core.capture.measures.windows import PARTS, Windows

_HOP = 8
"""Windows from row to row: 21.3 ms at 48 and 96 kHz."""
_EDGES_HZ = (60.0, 140.0, 280.0, 560.0, 950.0, 1420.0)
"""Edges of the low bands."""
_ROWS = WINDOWS_A_GROUP // _HOP


class BandLevels:
    """Takes group after group; the result does not depend on how the pass was cut into blocks."""

    def __init__(self, history: History) -> None:
        self._unit = history.scale.unit
        self._window = history.window
        self.hertz = history.sample_rate / (_HOP * history.window)
        step = _HOP * PARTS
        self._step = step
        self._before = np.zeros((history.channels, step), np.float32)
        self._energy_before = np.zeros((history.channels, 1))
        self._shape = (np.hanning(2 * step + 1)[:-1]).astype(np.float32)
        bins = np.fft.rfftfreq(2 * step, history.window / PARTS / history.sample_rate)
        self._edges = np.searchsorted(bins, _EDGES_HZ)
        self._rows: list[np.ndarray] = []
        self._frames = 0

    def add(self, windows: Windows) -> None:
        """Take one group in."""
        import scipy.fft

        step, count = self._step, len(self._before)
        scale = np.float32(self._unit * PARTS / self._window)
        parts = windows.parts.reshape(count, -1).astype(np.float32) * scale
        sound = np.concatenate((self._before, parts), axis=1).reshape(count, _ROWS + 1, step)
        pairs = np.concatenate((sound[:, :-1], sound[:, 1:]), axis=2)
        bins = scipy.fft.rfft(pairs * self._shape, axis=2)
        power = bins.real**2 + bins.imag**2
        sums = np.concatenate((np.zeros((count, _ROWS, 1)), power.cumsum(axis=2, dtype=np.float64)), axis=2)
        low = np.diff(sums[:, :, self._edges], axis=2) / (step * step)
        energy = windows.energy.reshape(count, _ROWS, _HOP).sum(axis=2, dtype=np.float64)
        energy *= self._unit**2 / (_HOP * self._window)
        both = np.concatenate((self._energy_before, energy), axis=1)
        whole = (both[:, 1:] + both[:, :-1]) / 2
        held = np.einsum("crs,crs->cr", pairs, pairs, dtype=np.float64) / (2 * step)
        high = np.maximum(whole - held, 1e-4 * whole)
        self._rows.append(_halves(np.concatenate((low, high[:, :, None]), axis=2)))
        self._before = parts[:, -step:]
        self._energy_before = energy[:, -1:]
        self._frames += windows.chunk.frames

    def found(self) -> Levels | None:
        """All rows of the pass; none where it has none."""
        if not self._rows:
            return None
        rows = int(self._frames / (_HOP * self._window)) + 1
        return Levels(self.hertz, np.ascontiguousarray(np.concatenate(self._rows, axis=1)[:, :rows]))


def _halves(power: np.ndarray) -> np.ndarray:
    with np.errstate(divide="ignore"):
        halves = np.round(-20 * np.log10(power))
    return np.where(power > 0, np.clip(halves, 0, 254), 255).astype(np.uint8)
