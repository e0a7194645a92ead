"""The largest and the smallest sample of every stretch of 128 frames.

They are taken as whole numbers: comparing these goes several times faster than comparing floating point, and
needs no branches, which sound would mislead.
"""

from __future__ import annotations

import numpy as np

from core.capture.files.samples import Planar
from core.capture.measures.history import EXTREME_FRAMES, History


class Extremes:
    """Takes the extremes of chunk after chunk, and gives those of a group."""

    def __init__(self, history: History) -> None:
        self._scale = scale = history.scale
        self._float = scale.dtype.kind == "f"
        self._whole = np.dtype(np.int32 if scale.dtype.itemsize == 4 else np.int64)
        shape = history.channels, history.chunk_frames
        self._room = np.empty(shape if self._float else (0, 0), self._whole)
        self._starts = np.arange(0, history.chunk_frames, EXTREME_FRAMES)
        self._found = np.zeros((2, history.channels, history.group_frames // EXTREME_FRAMES), self._whole)

    def take(self, fresh: Planar, first: int) -> None:
        """Take those of a chunk, as it is read, whose first stretch is the `first` of its group."""
        here = slice(first, first + len(self._starts))
        ordered = self._in_order(fresh.view(self._whole), self._room) if self._float else fresh
        np.maximum.reduceat(ordered, self._starts, axis=1, out=self._found[0, :, here])
        np.minimum.reduceat(ordered, self._starts, axis=1, out=self._found[1, :, here])

    def group(self) -> tuple[Planar, Planar]:
        """Two (largest, smallest) by channels by stretches, and by channels alone.

        Stretches of which no chunk was taken are zero.
        """
        found, self._found = self._found, np.zeros_like(self._found)
        highest = np.stack((found[0].max(axis=1), found[1].min(axis=1)))
        return self._samples(found), self._samples(highest)

    def _samples(self, found: Planar) -> Planar:
        if self._float:
            return self._in_order(found, np.empty_like(found)).view(self._scale.dtype)
        return (found >> self._scale.raised).astype(self._scale.floats)

    def _in_order(self, bits: Planar, out: Planar) -> Planar:
        """The bits of floating point as whole numbers in the same order; done twice it is undone."""
        width = 8 * self._whole.itemsize
        np.right_shift(bits, width - 1, out=out)
        np.bitwise_and(out, (1 << (width - 1)) - 1, out=out)
        np.bitwise_xor(out, bits, out=out)
        return out
