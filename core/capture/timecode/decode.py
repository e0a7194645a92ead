"""Reads a track of timecode in blocks: a fast pass over all, a slower one where that left holes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.capture.timecode.agreement import trusted
from core.capture.timecode.cells import read_edges
from core.capture.timecode.edges import SILENT, find_edges
from core.capture.timecode.frames import NO_FRAMES, Frames, joined
from core.capture.timecode.labels import rate_named
from core.capture.timecode.rescue import rescue
from core.capture.timecode.runs import TimecodeTrack
from core.capture.timecode.syncs import FASTEST_BIT, SLOWEST_BIT, bit_lengths
from core.capture.timecode.verdict import track_of
from core.capture.timecode.word import BITS

CHUNK_SECONDS = 5.0
"""About how much is worked on at once; memory for the sound does not grow beyond it."""

OVERLAP_SECONDS = 0.135
"""Sound kept from the chunk before: more than two frames at 24 a second, 10 % slow."""

GUARD_SECONDS = 0.02
"""Frames that end this close to the end of a chunk are left to the next one."""

CONTEXT_FRAMES = 3
"""Good frames taken into a rescue on either side of a hole, for their sync words."""

SMALLEST_HOLE = 0.7
"""Frames that must be missing between two readings before more are looked for: one, less what wow takes."""


class TimecodeReader:
    """Takes the sound of one track block by block and gives what timecode is on it.

    The result does not depend on how the sound is cut into blocks. Memory holds one chunk of sound and
    about 40 bytes for each frame that was read (4 MB an hour).
    """

    def __init__(self, sample_rate: int, nominal_rate: str | None = None) -> None:
        """`nominal_rate` is what the shelf says (24, 25, 29.97, 29.97 DF, 30), or None."""
        if sample_rate < 8000:
            raise ValueError(f"timecode cannot be read at {sample_rate} samples a second")
        if nominal_rate is not None:
            rate_named(nominal_rate)
        self.sample_rate = sample_rate
        self.nominal_rate = nominal_rate
        self._chunk = 1 << round(np.log2(sample_rate * CHUNK_SECONDS))
        self._overlap = int(sample_rate * OVERLAP_SECONDS)
        self._guard = int(sample_rate * GUARD_SECONDS)
        self._sound = np.zeros(self._overlap + self._chunk, np.float32)
        self._full_scale = 1.0
        self._filled = 0
        self._base = 0
        """Place in the pass of the buffer's first sample."""
        self._owned = -1e9
        """Frames that end up to here are settled."""
        self._parts: list[Frames] = []
        self._steepness: list[float] = []
        self._finished = False

    def feed(self, block: NDArray[np.float32] | NDArray[np.int32]) -> None:
        """Take the next samples: one row, float in full scale +-1 or int32 with the sound in its top bits."""
        if self._finished:
            raise ValueError("this track of timecode is finished")
        if block.ndim != 1:
            raise ValueError("a track of timecode is one row of samples")
        full_scale = 2.0**31 if block.dtype.kind == "i" else 1.0
        if self._base + self._filled > 0 and full_scale != self._full_scale:
            raise ValueError("blocks of one track are either all float or all int32")
        self._full_scale = full_scale
        taken = 0
        while taken < len(block):
            room = min(len(self._sound) - self._filled, len(block) - taken)
            self._sound[self._filled : self._filled + room] = block[taken : taken + room]
            self._filled += room
            taken += room
            if self._filled == len(self._sound):
                self._work(last=False)

    def finish(self) -> TimecodeTrack:
        """What was read. No more sound can be fed after it."""
        if not self._finished:
            self._finished = True
            self._work(last=True)
        samples = self._base + self._filled
        steepness = float(np.median(self._steepness)) if self._steepness else 0.0
        return track_of(joined(self._parts), self.sample_rate, self.nominal_rate, samples, steepness)

    def _work(self, *, last: bool) -> None:
        """Read the frames that end in this chunk, and keep its tail for the next."""
        sound = self._sound[: self._filled]
        since = self._owned - self._base
        until = float("inf") if last else float(self._filled - self._guard)
        silent = SILENT * self._full_scale
        if not np.isfinite(sound.sum()):
            np.nan_to_num(sound, copy=False, nan=0.0, posinf=0.0, neginf=0.0)
        fast, steepness = read_fast(sound, self.sample_rate, silent)
        good = fast.where(trusted(fast))
        if len(good) >= 3:
            self._steepness.append(steepness)
        rescued = read_holes(sound, good, self.sample_rate, since, until, silent)
        for part in (fast, rescued):
            part = part.where((part.end > since - 2) & (part.end <= until))
            self._parts += [part.later(self._base)] if len(part) else []
        if not last:
            self._owned = self._base + until
            self._base += self._filled - self._overlap
            self._sound[: self._overlap] = sound[-self._overlap :]
            self._filled = self._overlap


def read_fast(sound: NDArray[np.float32], sample_rate: int, silent: float = SILENT) -> tuple[Frames, float]:
    """Words whose every level change stands in the sound, and how steep the changes are.

    Windows with an RMS up to `silent` are passed over.
    """
    shortest = 0.35 * sample_rate / (30 * 1.3 * 2 * BITS)
    edges = find_edges(sound, sample_rate, shortest, silent)
    return read_edges(edges.places, longest=sample_rate / (20 * BITS)), edges.steepness


def read_holes(
    sound: NDArray[np.float32], good: Frames, sample_rate: int, since: float, until: float, silent: float
) -> Frames:
    """Frames in the holes between good ones, where a frame could end after `since` and up to `until`."""
    frame = float(np.median(good.end - good.start)) if len(good) else sample_rate / 25
    holes = [(max(low, since - frame), min(high, until)) for low, high in _holes(good, len(sound), frame)]
    holes = [(low, high) for low, high in holes if high - low >= SMALLEST_HOLE * frame]
    if not holes:
        return NO_FRAMES
    bits = bit_lengths(sample_rate * FASTEST_BIT, sample_rate * SLOWEST_BIT)
    directions: tuple[int, ...] = (1, -1)
    if len(good) >= 3:
        bits = bit_lengths(frame / BITS * 0.94, frame / BITS * 1.06)
        directions = tuple(way for way in (1, -1) if (good.direction == way).any())
    found = []
    for low, high in holes:
        start = max(0, int(low - CONTEXT_FRAMES * frame))
        piece = sound[start : min(len(sound), int(high + CONTEXT_FRAMES * frame))]
        if piece.std() <= silent:
            continue
        frames = rescue(piece, bits, directions).later(start)
        middle = (frames.start + frames.end) / 2
        found.append(frames.where((middle > low) & (middle < high)))
    return joined(found) if found else NO_FRAMES


def _holes(good: Frames, samples: int, frame: float) -> list[tuple[float, float]]:
    """Stretches without good frames that could hold one; holes with few good frames between become one."""
    starts = np.concatenate([[0.0], good.end])
    ends = np.concatenate([good.start, [float(samples)]])
    holes: list[tuple[float, float]] = []
    for at in np.flatnonzero(ends - starts > SMALLEST_HOLE * frame).tolist():
        low, high = float(starts[at]), float(ends[at])
        if holes and low - holes[-1][1] < 2 * CONTEXT_FRAMES * frame:
            holes[-1] = holes[-1][0], high
        else:
            holes.append((low, high))
    return holes


def looks_like_timecode(block: NDArray[np.float32] | NDArray[np.int32], sample_rate: int) -> bool:
    """Whether a second or more of sound (one row, as for `TimecodeReader`) holds timecode.

    Three words in a row that count on are asked for, 22 to 33 a second; other sound never does that.
    """
    sound = block[: int(sample_rate * CHUNK_SECONDS)].astype(np.float32)
    if len(sound) < 2 or np.ptp(sound) == 0:
        return False
    fast, _ = read_fast(sound, sample_rate, SILENT * (2.0**31 if block.dtype.kind == "i" else 1.0))
    if np.count_nonzero(trusted(fast)) >= 3:
        return True
    bits = bit_lengths(sample_rate * FASTEST_BIT, sample_rate * SLOWEST_BIT)
    return bool(np.count_nonzero(trusted(rescue(sound[:sample_rate], bits))) >= 3)
