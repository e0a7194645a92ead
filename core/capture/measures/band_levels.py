"""The level of every track in a few bands along the pass, some fifty times a second.

It costs next to nothing: the low bands come from the short sums that hum is heard in (about 3 kHz), the
high one is what the whole holds more than they.
"""

from __future__ import annotations

import numpy as np

from core.album.levels import PARTS_A_ROW, Levels, band_rows
from core.capture.measures.history import WINDOWS_A_GROUP, History
from core.capture.measures.windows import PARTS, Windows

_HOP = PARTS_A_ROW // PARTS
"""Windows from row to row: 21.3 ms at 48 and 96 kHz."""
_ROWS = WINDOWS_A_GROUP // _HOP


class BandLevels:
    """Takes group after group; the result does not depend on how the pass was cut into blocks."""

    def __init__(self, history: History) -> None:
        self._unit = history.scale.unit
        self._window, self._rate = history.window, history.sample_rate
        self._parts = np.zeros((history.channels, PARTS_A_ROW), np.float32)
        self._energy = np.zeros((history.channels, 1))
        self._rows: list[np.ndarray] = []
        self._frames = 0

    def add(self, windows: Windows) -> None:
        """Take one group in."""
        count = len(self._parts)
        scale = np.float32(self._unit * PARTS / self._window)
        fresh = windows.parts.reshape(count, -1).astype(np.float32) * scale
        parts = np.concatenate((self._parts, fresh), axis=1)
        sums = windows.energy.reshape(count, _ROWS, _HOP).sum(axis=2, dtype=np.float64)
        energy = np.concatenate((self._energy, sums * (self._unit**2 / (_HOP * self._window))), axis=1)
        self._rows.append(band_rows(parts, energy, self._rate * PARTS / self._window))
        self._parts, self._energy = parts[:, -PARTS_A_ROW:], energy[:, -1:]
        self._frames += windows.chunk.frames

    def found(self) -> Levels | None:
        """All rows of the pass; none where it has none."""
        if not self._rows:
            return None
        row = _HOP * self._window
        rows = self._frames // row + 1
        if len(self._rows) > 1:
            self._rows = [np.concatenate(self._rows, axis=1)]
        return Levels(self._rate / row, np.ascontiguousarray(self._rows[0][:, :rows]))
