"""From the bytes of a file to planar samples: one row a channel."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.capture.files.wave.header import Header
from core.values import dataclass

Bytes = NDArray[np.uint8]
Planar = NDArray[Any]
"""Channels by frames: int32 in steps of the file's own depth, or float32 or float64 as they stand."""

NEAR_FRAMES = 1024
"""Frames that are taken apart at once: as they lie in the file they stay in the processor's nearest cache."""
RAISED = 8
"""Bits by which a 3-byte sample stands too high when it is read as the upper bytes of 4."""
PAD = 4
"""Bytes before and after the samples of a buffer, so that a 3-byte sample can be read as 4 bytes."""


@dataclass(frozen=True, slots=True)
class Scale:
    """What full scale is in the planar samples of a pass."""

    dtype: np.dtype[np.generic]
    top: float
    """Largest value of the depth; a sample at or beyond it is at full scale."""
    bottom: float
    unit: float
    """A planar value times this is a part of full scale."""

    @classmethod
    def of(cls, header: Header) -> Scale:
        """The scale of a file's samples."""
        if header.is_float:
            dtype = np.dtype(np.float32 if header.encoding == "FLOAT" else np.float64)
            return cls(dtype, 1.0, -1.0, 1.0)
        wide = 8 * header.sample_bytes
        spare = wide - min(header.depth, wide)
        top = ((1 << (wide - spare - 1)) - 1) << spare
        return cls(np.dtype(np.int32), top, -(1 << (wide - 1)), 2.0 ** (1 - wide))

    @property
    def raised(self) -> int:
        """Bits by which whole samples stand higher as they are read, see `to_raised`."""
        return RAISED if self.dtype == np.int32 and self.bottom == -(2**23) else 0

    @property
    def floats(self) -> np.dtype[np.generic]:
        """The floating point that holds every planar value as it is."""
        exact = self.dtype == np.float32 or (self.dtype == np.int32 and self.bottom >= -(2**23))
        return np.dtype(np.float32 if exact else np.float64)


def buffer_for(header: Header, frames: int) -> Bytes:
    """Room for so many frames as they lie in the file, with its margins."""
    return np.zeros(PAD + frames * header.frame_bytes + PAD, np.uint8)


def body(buffer: Bytes, size: int) -> memoryview:
    """The part of a buffer that the file's bytes are read into."""
    return memoryview(buffer)[PAD : PAD + size]  # type: ignore[arg-type]


def to_raised(buffer: Bytes, header: Header, start: int, out: Planar, channel: int = 0) -> None:
    """Write `out` (channels by frames) from the frames of a buffer, the first taken being `start`.

    `out` holds the channels from `channel` on.

    3-byte samples are left raised: as the upper bytes of 4, over a byte that is not theirs. Their order is
    that of the samples, and moving them down is left to who has them in the processor's cache.
    """
    channels, frames = out.shape
    size, frame = header.sample_bytes, header.frame_bytes
    first = PAD + start * frame + channel * size
    shape, strides = (channels, frames), (size, frame)
    if header.encoding == "PCM_24":
        _copy_24(buffer, first, frame, out)
    elif header.encoding == "PCM_U8":
        np.subtract(np.ndarray(shape, "u1", buffer, first, strides), 128, out=out, dtype=np.int32)
    else:
        kind = {"PCM_16": "<i2", "PCM_32": "<i4", "FLOAT": "<f4", "DOUBLE": "<f8"}[header.encoding]
        np.copyto(out, np.ndarray(shape, kind, buffer, first, strides))


def to_planar(buffer: Bytes, header: Header, start: int, out: Planar, channel: int = 0) -> None:
    """As `to_raised`, with every sample at its place."""
    to_raised(buffer, header, start, out, channel)
    if header.encoding == "PCM_24":
        np.right_shift(out, RAISED, out=out)


def _copy_24(buffer: Bytes, first: int, frame: int, out: Planar) -> None:
    """Copy 3-byte samples with the byte before them, one near stretch of frames after the other."""
    channels, frames = out.shape
    blocks = frames // NEAR_FRAMES
    near = blocks * NEAR_FRAMES
    if blocks:
        shape = blocks, channels, NEAR_FRAMES
        wide = np.ndarray(shape, "<i4", buffer, first - 1, (NEAR_FRAMES * frame, 3, frame))
        np.copyto(out[:, :near].reshape(channels, blocks, NEAR_FRAMES).swapaxes(0, 1), wide)
    if near < frames:
        rest = np.ndarray((channels, frames - near), "<i4", buffer, first - 1 + near * frame, (3, frame))
        np.copyto(out[:, near:], rest)


def tidy(samples: Planar) -> bool:
    """Put zeros for negative zeros and where samples are no numbers; whether there were any of these."""
    if samples.dtype.kind != "f":
        return False
    samples += 0.0
    if np.isfinite(samples.sum(dtype=np.float64)) and np.isfinite(samples.max(initial=0.0)):
        return False
    wrong = ~np.isfinite(samples)
    samples[wrong] = 0
    return bool(wrong.any())


def means_of(rows: np.ndarray, size: int) -> np.ndarray:
    """Means of every `size` values side by side along the last axis, whose length they divide."""
    total: np.ndarray = rows[..., 0::size] + rows[..., 1::size] if size > 1 else rows.copy()
    for first in range(2, size):
        total += rows[..., first::size]
    total /= size
    return total
