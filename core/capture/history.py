"""The last seconds of a pass as planar samples, so that a test can look back around a suspicious place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.capture.samples import Planar, Scale

WINDOWS_A_CHUNK = 32
CHUNKS_A_GROUP = 4
WINDOWS_A_GROUP = WINDOWS_A_CHUNK * CHUNKS_A_GROUP
EXTREME_FRAMES = 128
"""Stretch of which the largest and smallest sample are taken."""


def window_frames(sample_rate: int) -> int:
    """Frames of an energy window: about 2.7 ms, a power of two (128 at 48 kHz, 256 at 96 kHz)."""
    return max(EXTREME_FRAMES, int(2 ** round(np.log2(sample_rate * 256 / 96000))))


@dataclass(slots=True)
class Chunk:
    """A stretch of the pass: 32 windows, small enough for the processor's cache, or a group of four such."""

    start: int
    """Frame of the pass at which it begins."""
    frames: int
    """Frames that belong to the pass; what follows them is zero."""
    samples: Planar
    """Channels by frames."""


class History:
    """A ring of chunks; memory is that of the ring, whatever the length of the pass."""

    def __init__(self, channels: int, sample_rate: int, scale: Scale, seconds: float = 2.0) -> None:
        self.channels, self.sample_rate, self.scale = channels, sample_rate, scale
        self.window = window_frames(sample_rate)
        self.chunk_frames = self.window * WINDOWS_A_CHUNK
        self.group_frames = self.window * WINDOWS_A_GROUP
        groups = int(np.ceil(seconds * sample_rate / self.group_frames)) + 1
        self.capacity = groups * self.group_frames
        self._ring = np.zeros((channels, self.capacity + 16), scale.dtype)
        self.written = 0
        """Frames of the pass so far."""

    def room(self) -> Planar:
        """Where the next frames go: up to the end of the chunk that is being filled."""
        at = self.written % self.capacity
        left = self.chunk_frames - self.written % self.chunk_frames
        return self._ring[:, at : at + left]

    def advance(self, frames: int) -> Chunk | None:
        """Count frames that were written into the room; the chunk, if it is full now."""
        self.written += frames
        if self.written % self.chunk_frames:
            return None
        return self._chunk(self.written - self.chunk_frames, self.chunk_frames)

    def last(self) -> Chunk | None:
        """The chunk that the end of the pass left unfilled, padded with zeros; none if there is none."""
        frames = self.written % self.chunk_frames
        if not frames:
            return None
        self.room()[:] = 0
        return self._chunk(self.written - frames, frames)

    def group(self, start: int) -> Chunk:
        """The group that begins at frame `start`, as far as it is written; the rest is zero."""
        at = start % self.capacity
        frames = min(self.group_frames, self.written - start)
        samples = self._ring[:, at : at + self.group_frames]
        samples[:, frames:] = 0
        return Chunk(start, frames, samples)

    def _chunk(self, start: int, frames: int) -> Chunk:
        at = start % self.capacity
        return Chunk(start, frames, self._ring[:, at : at + self.chunk_frames])

    @property
    def oldest(self) -> int:
        """The first frame that is still there."""
        filled = -(-self.written // self.group_frames) * self.group_frames
        return max(0, filled - self.capacity)

    def stretch(self, channel: int, start: int, stop: int) -> Planar:
        """Samples of one channel from frame `start` to `stop`; zeros outside what is there."""
        out = np.zeros(max(0, stop - start), self.scale.dtype)
        first, last = max(start, self.oldest), min(stop, self.written)
        if last > first:
            a, b = first % self.capacity, first % self.capacity + last - first
            row, to = self._ring[channel], out[first - start : last - start]
            to[: self.capacity - a] = row[a : min(b, self.capacity)]
            if b > self.capacity:
                to[self.capacity - a :] = row[: b - self.capacity]
        return out

    def stretches(self, channels: NDArray[np.intp], starts: NDArray[np.intp], length: int) -> Planar:
        """Rows of `length` samples, one for each channel and start; zeros outside what is there."""
        at = starts[:, None] + np.arange(length)
        rows: Planar = self._ring[channels[:, None], at % self.capacity]
        outside = (at < self.oldest) | (at >= self.written)
        if outside.any():
            rows[outside] = 0
        return rows
