"""What is taken from every stretch of a pass: extremes, energy and short sums of its windows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.capture.files.samples import Planar
from core.capture.measures.extremes import Extremes
from core.capture.measures.history import EXTREME_FRAMES, WINDOWS_A_GROUP, Chunk, Fresh, History

PARTS = 8
"""Short sums a window: a signal at an eighth of the window's frames, for hum."""
_ROWS = 8
"""Tracks whose bends are taken together: what that needs stays in the processor's cache."""
_TOGETHER = 4096
"""Samples that are summed in one product: few enough that the library does not spread it over threads."""


@dataclass(slots=True)
class Windows:
    """Figures of one group of chunks, in planar units; beyond the end of the pass all are zero."""

    chunk: Chunk
    extremes: Planar
    """Two (largest, smallest) by channels by stretches of 128."""
    peaks: Planar
    """Channels by stretches of 128: largest magnitude."""
    highest: Planar
    """Two (largest, smallest) by channels: of the whole group."""
    energy: Planar
    """Channels by windows: sum of squares."""
    parts: Planar
    """Channels by windows by 8: sums of an eighth of a window."""
    sums: Planar
    """Channels by windows: sums of whole windows."""
    bends: Planar
    """Channels by windows: energy of the second difference of the samples, at about 48 kHz."""
    zeros: NDArray[np.int64]
    """Per channel how many samples are exactly zero."""

    @property
    def top(self) -> Planar:
        """Channels by stretches of 128: the largest sample."""
        top: Planar = self.extremes[0]
        return top

    @property
    def low(self) -> Planar:
        """Channels by stretches of 128: the smallest sample."""
        low: Planar = self.extremes[1]
        return low


def bend_frames(history: History) -> int:
    """Frames from sample to sample of a second difference."""
    return max(1, history.sample_rate // 48000)


class _Bends:
    """Takes the energy of the second difference of chunk after chunk."""

    def __init__(self, history: History) -> None:
        self._apart = bend_frames(history)
        self._window = history.window
        kind = history.scale.floats
        self._steps = np.zeros((_ROWS, history.chunk_frames), kind)
        self._bends = np.zeros((_ROWS, history.chunk_frames), kind)
        self._tail = np.zeros((history.channels, 2 * self._apart), kind)
        """The end of the chunk before."""

    def take(self, sound: Planar, energy: Planar) -> None:
        """Measure one chunk while it is near, window by window."""
        apart = self._apart
        start = np.concatenate((self._tail, sound[:, : 2 * apart]), axis=1)
        start = start[:, 2 * apart :] - 2 * start[:, apart:-apart] + start[:, : -2 * apart]
        np.copyto(self._tail, sound[:, -2 * apart :])
        for row in range(0, len(sound), _ROWS):
            some = sound[row : row + _ROWS]
            steps, bends = self._steps[: len(some)], self._bends[: len(some)]
            np.subtract(some[:, apart:], some[:, :-apart], out=steps[:, :-apart])
            np.subtract(steps[:, apart:-apart], steps[:, : -2 * apart], out=bends[:, 2 * apart :])
            bends[:, : 2 * apart] = start[row : row + _ROWS]
            rows = bends.reshape(len(some), -1, self._window)
            np.vecdot(rows, rows, out=energy[row : row + _ROWS])


class Measurer:
    """Takes the figures of chunk after chunk while they are in the processor's cache."""

    def __init__(self, history: History, *, extremes_alone: bool = False) -> None:
        """With ``extremes_alone`` energy, sums, bends and zeros are not taken; they stay zero."""
        self._history, self._alone = history, extremes_alone
        self._part = history.window // PARTS
        self._extremes = Extremes(history)
        self._bent = _Bends(history)
        self._bits = np.int32 if history.scale.floats.itemsize == 4 else np.int64
        """Whole numbers as wide as a sample: what is zero is zero in them too, and counting goes faster."""
        self._ones = np.ones(max(self._part, PARTS), history.scale.floats)
        self._clear()

    def _clear(self) -> None:
        channels, dtype = self._history.channels, self._history.scale.floats
        self._energy = np.zeros((channels, WINDOWS_A_GROUP), dtype)
        self._bends = np.zeros((channels, WINDOWS_A_GROUP), dtype)
        self._parts = np.zeros((channels, WINDOWS_A_GROUP * PARTS), dtype)
        self._zeros = np.zeros(channels, np.int64)

    def take(self, chunk: Fresh) -> None:
        """Measure one chunk, and keep it: first what needs it as it was read, while it is near."""
        window, part = self._history.window, self._part
        first = chunk.start % self._history.group_frames
        stop = first + self._history.chunk_frames
        self._extremes.take(chunk.read, first // EXTREME_FRAMES)
        self._history.keep(chunk)
        if self._alone:
            return
        windows = chunk.samples.reshape(len(chunk.samples), -1, window)
        here = slice(first // window, stop // window)
        np.vecdot(windows, windows, out=self._energy[:, here])
        together = min(self._history.chunk_frames, _TOGETHER) // part
        sums = self._parts[:, first // part : stop // part]
        np.matmul(
            chunk.samples.reshape(len(sums), -1, together, part), self._ones[:part],
            out=sums.reshape(len(sums), -1, together),
        )  # fmt: skip
        self._zeros += chunk.frames
        self._zeros -= [np.count_nonzero(row) for row in chunk.samples.view(self._bits)]
        self._bent.take(chunk.samples, self._bends[:, here])

    def group(self, start: int) -> Windows:
        """The figures of the group that begins at `start`, of which all chunks were taken."""
        extremes, highest = self._extremes.group()
        parts = self._parts.reshape(-1, WINDOWS_A_GROUP, PARTS)
        made = Windows(
            self._history.group(start), extremes, np.maximum(extremes[0], -extremes[1]), highest,
            self._energy, parts, parts @ self._ones[:PARTS], self._bends, self._zeros,
        )  # fmt: skip
        self._clear()
        return made
