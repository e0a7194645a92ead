"""What is taken from every stretch of a pass: extremes, energy and short sums of its windows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.capture.history import EXTREME_FRAMES, WINDOWS_A_CHUNK, WINDOWS_A_GROUP, Chunk, History

Floats = NDArray[np.float32]
Zeros = NDArray[np.bool_]
PARTS = 8
"""Short sums a window: a signal at an eighth of the window's frames, for hum."""


@dataclass(slots=True)
class Windows:
    """Figures of one group of chunks, in planar units; beyond the end of the pass all are zero."""

    chunk: Chunk
    top_at: NDArray[np.intp]
    """Channels by stretches of 128: frame of the group at which the largest sample stands."""
    top: NDArray[Any]
    low_at: NDArray[np.intp]
    low: NDArray[Any]
    energy: Floats
    """Channels by windows: sum of squares."""
    parts: Floats
    """Channels by windows by 8: sums of an eighth of a window."""

    @property
    def peaks(self) -> NDArray[np.float64]:
        """Channels by stretches of 128: largest magnitude."""
        return np.maximum(self.top.astype(np.float64), -self.low.astype(np.float64))


class Measurer:
    """Takes the figures of chunk after chunk while they are in the processor's cache."""

    def __init__(self, history: History) -> None:
        self._history = history
        self._window = history.window
        shape = history.channels, history.chunk_frames
        self._floats = np.empty(shape, np.float32)
        self.zero: Zeros = np.empty(shape, np.bool_)
        """Channels by frames of the last chunk: where a sample is exactly zero."""
        self._sum_parts = np.repeat(np.eye(PARTS, dtype=np.float32), self._window // PARTS, axis=0)
        self._stretches = history.chunk_frames // EXTREME_FRAMES
        self._offsets = np.arange(history.group_frames // EXTREME_FRAMES) * EXTREME_FRAMES
        self._clear()

    def _clear(self) -> None:
        channels = self._history.channels
        stretches = self._history.group_frames // EXTREME_FRAMES
        self._at = np.zeros((2, channels, stretches), np.intp)
        self._energy = np.zeros((channels, WINDOWS_A_GROUP), np.float32)
        self._parts = np.zeros((channels, WINDOWS_A_GROUP, PARTS), np.float32)

    def take(self, chunk: Chunk) -> None:
        """Measure one chunk; `zero` then speaks of it."""
        samples = chunk.samples
        number = chunk.start % self._history.group_frames // self._history.chunk_frames
        np.copyto(self._floats, samples, casting="unsafe")
        rows = self._floats.reshape(len(samples), WINDOWS_A_CHUNK, self._window)
        here = slice(number * WINDOWS_A_CHUNK, (number + 1) * WINDOWS_A_CHUNK)
        np.vecdot(rows, rows, out=self._energy[:, here])
        # Channel by channel the products are too small for the library to wake its other threads.
        np.matmul(rows, self._sum_parts, out=self._parts[:, here])
        stretches = samples.reshape(len(samples), -1, EXTREME_FRAMES)
        here = slice(number * self._stretches, (number + 1) * self._stretches)
        stretches.argmax(axis=2, out=self._at[0, :, here])
        stretches.argmin(axis=2, out=self._at[1, :, here])
        np.equal(samples, 0, out=self.zero)

    def group(self, start: int) -> Windows:
        """The figures of the group that begins at `start`, of which all chunks were taken."""
        chunk = self._history.group(start)
        top_at, low_at = self._at + self._offsets
        rows = np.arange(len(chunk.samples))[:, None]
        made = Windows(chunk, top_at, chunk.samples[rows, top_at], low_at, chunk.samples[rows, low_at],
                       self._energy, self._parts)  # fmt: skip
        self._clear()
        return made
