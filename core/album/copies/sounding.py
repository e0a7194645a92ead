"""The sound of copies, block by block: the capture's own samples, or read along a curve."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from core.album.copies.plan import AS_CAPTURED, RATIO, Copy
from core.album.copies.smooth import smooth_places
from core.album.reader import FINE_TAPS, read_along

if TYPE_CHECKING:
    from core.capture.pieces.pass_sound import PassSound

_BLOCK, _CAPTURED_BLOCK = 1 << 17, 1 << 15
"""Frames read at a time: along a curve, and as captured, where small blocks stay near the processor."""
Blocks = Iterator[NDArray[Any]]


def depth_of(sound: PassSound, copy: Copy) -> tuple[int, bool]:
    """Bits a sample of the copy and whether it is floating point: as captured; if read, 24 at least."""
    header = sound.header
    if header.is_float:
        return (64 if header.encoding == "DOUBLE" and copy.method == AS_CAPTURED else 32), True
    bits = 8 * header.sample_bytes
    return (bits if copy.method == AS_CAPTURED else max(24, bits)), False


def blocks_of(sound: PassSound, copy: Copy, tracks: Sequence[int]) -> Blocks:
    """Tracks by frames, the whole length of the copy; `copy` tells the stretch and how it is read."""
    if copy.method == AS_CAPTURED:
        for _, block in sound.blocks(tracks, copy.start, copy.start + copy.frames, _CAPTURED_BLOCK):
            yield block
        return
    bits, is_float = depth_of(sound, copy)
    made = _at_ratio(sound, copy, tracks) if copy.method == RATIO else _along(sound, copy, tracks)
    for block in made:
        yield block if is_float else _whole(block, bits)


def _whole(block: NDArray[np.float32], bits: int) -> NDArray[np.int32]:
    top = 2.0 ** (bits - 1)
    return np.asarray(np.clip(np.rint(block.astype(np.float64) * top), -top, top - 1), np.int32)


def _along(sound: PassSound, copy: Copy, tracks: Sequence[int]) -> Iterator[NDArray[np.float32]]:
    places = smooth_places(copy)
    for low in range(0, copy.frames, _BLOCK):
        at = (
            places(copy.from_seconds + np.arange(low, min(copy.frames, low + _BLOCK)) / copy.rate) * copy.rate
        )
        first, last = int(np.floor(at.min())) - FINE_TAPS, int(np.ceil(at.max())) + FINE_TAPS
        rows = sound.floats(tracks, first, last)
        yield np.stack([read_along(row, at - first) for row in rows])


def _at_ratio(sound: PassSound, copy: Copy, tracks: Sequence[int]) -> Iterator[NDArray[np.float32]]:
    """By the library soxr: from the nearest sample of the capture on, at one ratio of rates."""
    import soxr

    first = copy.curve.capture(copy.from_seconds)
    last = copy.curve.capture(copy.from_seconds + copy.frames / copy.rate)
    ratio = (last - first) * copy.rate / copy.frames
    lead, start = _lead(first * copy.rate, ratio)
    streams = [soxr.ResampleStream(copy.rate * ratio, copy.rate, 1, dtype="float32", quality="VHQ")
               for _ in tracks]  # fmt: skip
    skip, left, at = lead, copy.frames, start
    while left > 0:
        rows = sound.floats(tracks, at, at + _BLOCK)
        at += _BLOCK
        both = zip(streams, rows, strict=True)
        made = np.stack([stream.resample_chunk(np.ascontiguousarray(row)) for stream, row in both])
        cut = min(skip, made.shape[1])
        made, skip = made[:, cut:], skip - cut
        made = made[:, :left]
        left -= made.shape[1]
        if made.shape[1]:
            yield made


def _lead(place: float, ratio: float) -> tuple[int, int]:
    """Samples to throw away at the start, and the whole sample to start at, so that `place` comes next."""
    leads = np.arange(2400, 6400)
    starts = place - leads * ratio
    best = int(np.argmin(np.abs(starts - np.rint(starts))))
    return int(leads[best]), round(float(starts[best]))
