"""What is taken from every stretch of a pass: extremes, energy and short sums of its windows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.capture.history import EXTREME_FRAMES, WINDOWS_A_GROUP, Chunk, Fresh, History

Floats = NDArray[Any]
"""As the planar samples: float32, or float64 where they need it."""
PARTS = 8
"""Short sums a window: a signal at an eighth of the window's frames, for hum."""


@dataclass(slots=True)
class Windows:
    """Figures of one group of chunks, in planar units; beyond the end of the pass all are zero."""

    chunk: Chunk
    places: NDArray[np.intp]
    """Two (largest, smallest) by channels by stretches of 128: frame of the group at which that stands."""
    extremes: Floats
    """The samples there."""
    before: Floats
    """The samples before those."""
    after: Floats
    """The samples after those."""
    edge: NDArray[np.bool_]
    """Where an extreme stands at the first or last frame of its chunk; there one neighbour is not known."""
    peaks: Floats
    """Channels by stretches of 128: largest magnitude."""
    energy: Floats
    """Channels by windows: sum of squares."""
    steps: Floats
    """Channels by windows: sum of squares of the step to each sample from the one before it."""
    parts: Floats
    """Channels by windows by 8: sums of an eighth of a window."""
    zeros: NDArray[np.int64]
    """Per channel how many samples are exactly zero."""

    @property
    def top(self) -> Floats:
        """Channels by stretches of 128: the largest sample."""
        top: Floats = self.extremes[0]
        return top

    @property
    def low(self) -> Floats:
        """Channels by stretches of 128: the smallest sample."""
        low: Floats = self.extremes[1]
        return low


class Measurer:
    """Takes the figures of chunk after chunk while they are in the processor's cache."""

    def __init__(self, history: History) -> None:
        self._history = history
        self._part = history.window // PARTS
        self._begin = np.arange(history.group_frames // EXTREME_FRAMES) * EXTREME_FRAMES
        """Frame of the group at which each stretch begins."""
        rows = np.arange(history.channels)[:, None] * history.chunk_frames
        first = rows + self._begin[: history.chunk_frames // EXTREME_FRAMES]
        self._near = np.array([0, -1, 1])[:, None, None, None] + first
        """Where in a chunk each stretch has its first sample, the one before it and the one after it."""
        self._index = np.empty((3, 2, *first.shape), np.intp)
        self._bits = np.int32 if history.scale.dtype.itemsize == 4 else np.int64
        """Whole numbers as wide as a sample: what is zero is zero in them too, and counting goes faster."""
        self._last: Floats = np.zeros((history.channels, 1), history.scale.floats)
        """Last sample of the group before."""
        self._clear()

    def _clear(self) -> None:
        channels, dtype = self._history.channels, self._history.scale.floats
        self._at = np.zeros((2, channels, len(self._begin)), np.intp)
        self._marks = np.zeros((3, 2, channels, len(self._begin)), dtype)
        """Each extreme, the sample before and the one after it."""
        self._energies = np.zeros((2, channels, WINDOWS_A_GROUP), dtype)
        """Of each window the sum of squares, and of the products of neighbours."""
        self._parts = np.zeros((channels, WINDOWS_A_GROUP * PARTS), dtype)
        self._zeros = np.zeros(channels, np.int64)

    def take(self, chunk: Fresh) -> None:
        """Measure one chunk, and keep it: first what needs it as it was read, while it is near."""
        window, part, read = self._history.window, self._part, chunk.read
        channels, frames = read.shape
        first = chunk.start % self._history.group_frames
        stop = first + frames
        here = slice(first // EXTREME_FRAMES, stop // EXTREME_FRAMES)
        at, stretches = self._at[:, :, here], read.reshape(channels, -1, EXTREME_FRAMES)
        stretches.argmax(axis=2, out=at[0])
        stretches.argmin(axis=2, out=at[1])
        np.add(at, self._near, out=self._index)
        self._marks[:, :, :, here] = read.reshape(-1).take(self._index, mode="clip")
        self._zeros += chunk.frames
        self._zeros -= [np.count_nonzero(row) for row in read.view(self._bits)]
        self._history.keep(chunk)
        windows = chunk.samples.reshape(channels, -1, window)
        here = slice(first // window, stop // window)
        np.vecdot(windows, windows, out=self._energies[0, :, here])
        np.vecdot(windows[:, :, 1:], windows[:, :, :-1], out=self._energies[1, :, here])
        parts = chunk.samples.reshape(channels, -1, part)
        np.einsum("cpk->cp", parts, out=self._parts[:, first // part : stop // part])

    def group(self, start: int) -> Windows:
        """The figures of the group that begins at `start`, of which all chunks were taken."""
        chunk = self._history.group(start)
        extremes, before, after = self._marks
        self._at += self._begin
        place = self._at & (self._history.chunk_frames - 1)
        edge = (place == 0) | (place == self._history.chunk_frames - 1)
        parts = self._parts.reshape(-1, WINDOWS_A_GROUP, PARTS)
        made = Windows(
            chunk, self._at, extremes, before, after, edge, np.maximum(extremes[0], -extremes[1]),
            self._energies[0], self._steps(chunk.samples), parts, self._zeros,
        )  # fmt: skip
        self._clear()
        return made

    def _steps(self, samples: Floats) -> Floats:
        """Energy of the steps, from the windows' energies and the steps between windows."""
        energy, beside = self._energies
        window = self._history.window
        first, last = samples[:, ::window], samples[:, window - 1 :: window]
        before = np.concatenate((self._last, last[:, :-1]), axis=1)
        self._last = last[:, -1:].copy()
        inside = 2 * (energy - beside) - first * first - last * last
        steps: Floats = np.maximum(inside, 0) + (first - before) ** 2
        return steps
