"""The last seconds of a pass as planar samples, so that a test can look back around a suspicious place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.capture.files.samples import Planar, Scale, tidy

WINDOWS_A_GROUP = 512
"""What is looked at together, 1.4 s: long enough that looking costs little beside measuring."""
CHUNK_SAMPLES = 131072
"""Samples of a chunk over all channels: few enough for the processor's cache, enough for few steps."""
EXTREME_FRAMES = 128
"""Stretch of which the largest and smallest sample are taken."""


def window_frames(sample_rate: int) -> int:
    """Frames of an energy window: about 2.7 ms, a power of two (128 at 48 kHz, 256 at 96 kHz)."""
    return max(EXTREME_FRAMES, int(2 ** round(np.log2(sample_rate * 256 / 96000))))


def _power_of_two(number: int) -> int:
    """The largest power of two up to a number, within 1 and a whole group."""
    return 1 << max(0, min(number, WINDOWS_A_GROUP).bit_length() - 1)


@dataclass(slots=True)
class Chunk:
    """A stretch of the pass: some windows, few enough for the processor's cache, or a group of 512."""

    start: int
    """Frame of the pass at which it begins."""
    frames: int
    """Frames that belong to the pass; what follows them is zero."""
    samples: Planar
    """Channels by frames."""


@dataclass(slots=True)
class Fresh(Chunk):
    """A chunk that was just filled; its samples are those of the ring once it is kept."""

    read: Planar
    """Its samples as they were read, whole ones raised, one row after the other without gaps."""
    tidied: bool
    """Whether it held what are no numbers."""


class History:
    """A ring of chunks; memory is that of the ring, whatever the length of the pass."""

    def __init__(self, channels: int, sample_rate: int, scale: Scale, seconds: float = 2.6,
                 ahead: int = 0) -> None:  # fmt: skip
        """With ``ahead`` so many groups can be filled beyond the one that is looked at, see `show`."""
        self.channels, self.sample_rate, self.scale = channels, sample_rate, scale
        self.window = window_frames(sample_rate)
        self.chunk_frames = self.window * _power_of_two(CHUNK_SAMPLES // (channels * self.window))
        self.group_frames = self.window * WINDOWS_A_GROUP
        groups = int(np.ceil(seconds * sample_rate / self.group_frames)) + 1
        self._reach = groups * self.group_frames
        """So many frames back can be looked."""
        self._ahead = ahead
        self.capacity = self._reach + ahead * self.group_frames
        self._fresh = np.zeros((channels, self.chunk_frames), scale.dtype)
        """The chunk that is being filled, as it is read."""
        self._ring = np.zeros((channels, self.capacity + 16), scale.floats)
        """Whole chunks, in floating point."""
        self._seen: dict[int, Planar] = {}
        """By length the ring as stretches."""
        self._filled = 0
        self.kept = 0
        """Frames of the pass in whole chunks so far, and in the last one."""
        self.written = 0
        """Those of them that are to be looked at."""

    def room(self) -> Planar:
        """Where the next frames go, whole ones raised: up to the end of the chunk that is being filled."""
        return self._fresh[:, self._filled :]

    def advance(self, frames: int) -> Fresh | None:
        """Count frames that were written into the room; the chunk, if it is full now."""
        self._filled += frames
        return self._take() if self._filled == self.chunk_frames else None

    def last(self) -> Fresh | None:
        """The chunk that the end of the pass left unfilled, padded with zeros; none if there is none."""
        if not self._filled:
            return None
        self.room()[:] = 0
        return self._take()

    def _take(self) -> Fresh:
        """The filled chunk, not yet in the ring."""
        at = self.kept % self.capacity
        kept = self._ring[:, at : at + self.chunk_frames]
        return Fresh(self.kept, self._filled, kept, self._fresh, tidy(self._fresh))

    def keep(self, fresh: Fresh) -> None:
        """Put the filled chunk into the ring, and make room for the next."""
        if self.scale.raised:
            np.right_shift(fresh.read, self.scale.raised, out=fresh.read)
        np.copyto(fresh.samples, fresh.read, casting="unsafe")
        self.kept += fresh.frames
        self._filled = 0
        if not self._ahead:
            self.written = self.kept

    def show(self, frames: int) -> None:
        """Look back from that frame on, whatever more is filled already."""
        self.written = frames

    def group(self, start: int) -> Chunk:
        """The group that begins at frame `start`, as far as it is kept; the rest is zero."""
        at = start % self.capacity
        frames = min(self.group_frames, self.kept - start)
        samples = self._ring[:, at : at + self.group_frames]
        samples[:, frames:] = 0
        return Chunk(start, frames, samples)

    @property
    def oldest(self) -> int:
        """The first frame that is still there."""
        filled = -(-self.written // self.group_frames) * self.group_frames
        return max(0, filled - self._reach)

    def stretch(self, channel: int, start: int, stop: int) -> Planar:
        """Samples of one channel from frame `start` to `stop`; zeros outside what is there."""
        out = np.zeros(max(0, stop - start), self.scale.floats)
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
        at = starts % self.capacity
        unbroken = at + length <= self.capacity
        rows: Planar = self._every(length)[channels, np.where(unbroken, at, 0)]
        known = unbroken & (starts >= self.oldest) & (starts + length <= self.written)
        for row in np.flatnonzero(~known).tolist():
            rows[row] = self.stretch(int(channels[row]), int(starts[row]), int(starts[row]) + length)
        return rows

    def _every(self, length: int) -> Planar:
        """Channels by starts by `length`: the ring seen as all its stretches of a length."""
        if length not in self._seen:
            self._seen[length] = np.lib.stride_tricks.sliding_window_view(self._ring, length, axis=1)
        return self._seen[length]

    def extreme_stretches(self, channels: NDArray[np.intp], numbers: NDArray[np.intp]) -> Planar:
        """Rows of 128 samples, by channel and by number of the stretch in the pass."""
        rows = self._ring[:, : self.capacity].reshape(self.channels, -1, EXTREME_FRAMES)
        found: Planar = rows[channels, numbers % rows.shape[1]]
        return found

    def samples(self, channels: NDArray[np.intp], places: NDArray[np.intp]) -> Planar:
        """Single samples, by channel and frame of the pass; any value where nothing is."""
        found: Planar = self._ring[channels, places % self.capacity]
        return found
