"""From level changes to words: bit lengths, bits, sync words; only words whose rhythm never broke."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.lib.stride_tricks import as_strided, sliding_window_view
from numpy.typing import NDArray

from core.capture.timecode.frames import NO_FRAMES, Frames, joined, read_words
from core.capture.timecode.word import BITS, SYNC

_Number = TypeVar("_Number", bound=np.generic)

GROUP = 160
"""Intervals over which the bit length is taken: about a frame, and so never without a sync word's part."""

EVEN_RHYTHM = 0.03
"""RMS of a frame's bit boundaries off an even grid, in bits, below which it can stand without neighbours."""

_FORWARD = sum(bit << place for place, bit in enumerate(SYNC))
_REVERSE = sum(bit << place for place, bit in enumerate(reversed(SYNC)))

_ODD = np.arange(BITS + 1) - BITS / 2
_END_WEIGHTS = np.stack(
    [1 / (BITS + 1) + sign * BITS / 2 * _ODD / (_ODD @ _ODD) for sign in (-1, 1)], 1
).astype(np.float32)
"""Least squares: start and end of a frame from its 81 bit boundaries."""

_EVEN = np.stack([np.linspace(1, 0, BITS + 1), np.linspace(0, 1, BITS + 1)]).astype(np.float32)
"""An even grid of 81 boundaries from its start and end."""


def _bit_lengths(intervals: NDArray[np.float32], longest: float) -> NDArray[np.float32]:
    """Length of a bit around each group of intervals, one row of GROUP intervals each.

    The mean of a mixture of bits and half bits lies between the two and so parts them, at any speed.
    """
    held, count = intervals, np.full(len(intervals), intervals.shape[1], np.float32)
    usable = intervals < longest
    if not usable.all():
        held = np.where(usable, intervals, np.float32(0))
        count = np.maximum(usable.sum(axis=1, dtype=np.float32), 1)
    total = held.sum(axis=1)
    part = total / count
    for _ in range(2):
        of_short = np.vecdot(held, (held < part[:, None]).astype(np.float32))
        bit = (total + of_short) / count
        part = np.float32(0.75) * np.where((of_short > 0) & (of_short < total), bit, part / np.float32(0.75))
    found = np.sort(bit[bit > 0])
    typical = found[len(found) // 2] if len(found) else np.float32(longest)
    return np.where(np.abs(bit - typical) > 0.2 * typical, typical, bit)


def _rows(intervals: NDArray[np.float32]) -> NDArray[np.float32]:
    """Intervals in rows of GROUP, the last row filled up from the end of what there is."""
    if len(intervals) < GROUP:
        return intervals[None, :]
    missing = -len(intervals) % GROUP
    return np.concatenate([intervals, intervals[len(intervals) - missing :]]).reshape(-1, GROUP)


def _closing(short: NDArray[np.bool_]) -> tuple[NDArray[np.bool_], NDArray[np.bool_] | None]:
    """Which intervals end a bit, and before which a lone half bit was left over (None: nowhere).

    Between two whole bits the halves come in pairs, so their count has one parity at every whole bit.
    """
    halves = np.add.accumulate(short.view(np.uint8), dtype=np.uint8) & 1
    whole = len(short) - np.count_nonzero(short)
    odd_at_whole = np.count_nonzero(halves > short.view(np.uint8))
    if odd_at_whole in (0, whole):
        return halves == (1 if odd_at_whole else 0), None
    order = np.arange(len(short), dtype=np.int32)
    run = order - np.maximum.accumulate(np.where(short, np.int32(-1), order))
    closing = (run & 1) == 0
    lone = np.zeros(len(short), np.bool_)
    lone[1:] = ~short[1:] & ~closing[:-1]
    return closing, lone


def read_edges(places: NDArray[np.float64], longest: float) -> Frames:
    """Every word between these level changes that came through whole, forward and reverse.

    `longest` is the longest interval, in samples, that can be a bit. Places are in samples.
    """
    if len(places) < GROUP:
        return NO_FRAMES
    intervals = (places[1:] - places[:-1]).astype(np.float32)
    rows = _rows(intervals)
    halves = rows / _bit_lengths(rows, longest)[:, None]
    short = (halves < np.float32(0.75)).ravel()[: len(intervals)]
    broken = np.abs(halves - np.float32(0.8)).ravel()[: len(intervals)] > np.float32(0.5)
    closing, lone = _closing(short)
    if lone is not None:
        broken |= lone
    last = np.flatnonzero(closing)
    bits = short[last].view(np.uint8)
    if len(bits) < BITS:
        return NO_FRAMES
    boundaries = places[last + 1]
    breaks = np.flatnonzero(broken)
    parts = [
        _words(bits, boundaries, last, breaks, first, direction)
        for direction, first in ((1, _sync_at(bits, _FORWARD) - 64), (-1, _sync_at(bits, _REVERSE)))
    ]
    return joined(parts)


def _sync_at(bits: NDArray[np.uint8], pattern: int) -> NDArray[np.int64]:
    """Where a 16-bit pattern begins, its first bit the lowest."""
    window: NDArray[np.uint16] = bits.astype(np.uint16)
    for shift in (1, 2, 4, 8):
        window = window[:-shift] | window[shift:] << np.uint16(shift)
    return np.flatnonzero(window == pattern)


def _rows_of(values: NDArray[_Number], first: NDArray[np.int64], width: int) -> NDArray[_Number]:
    """Stretches of `width` values from each of these places on, one a row; frames in a row need no copy."""
    if (np.diff(first) == BITS).all():
        step = values.strides[0]
        return as_strided(values[first[0] :], (len(first), width), (BITS * step, step), writeable=False)
    return sliding_window_view(values, width)[first]


def _words(
    bits: NDArray[np.uint8], boundaries: NDArray[np.float64], last: NDArray[np.int64],
    breaks: NDArray[np.int64], first: NDArray[np.int64], direction: int,
) -> Frames:  # fmt: skip
    """Frames that begin at these bits, but for those that reach beyond the ends or hold a break."""
    first = first[(first >= 1) & (first + BITS <= len(bits))]
    if len(first) == 0:
        return NO_FRAMES
    since, until = last[first - 1], last[first + BITS - 1]
    first = first[np.searchsorted(breaks, since, "right") == np.searchsorted(breaks, until, "right")]
    if len(first) == 0:
        return NO_FRAMES
    origin = boundaries[first - 1]
    grid = (_rows_of(boundaries, first - 1, BITS + 1) - origin[:, None]).astype(np.float32)
    ends = grid @ _END_WEIGHTS
    length = ends[:, 1] - ends[:, 0]
    off = grid - ends @ _EVEN
    even = np.sqrt(np.vecdot(off, off) / (BITS + 1)) < EVEN_RHYTHM / BITS * length
    backwards = direction < 0
    data = _rows_of(bits, first + 16 * backwards, 64)[:, :: -1 if backwards else 1]
    return read_words(data, origin + ends[:, 0], origin + ends[:, 1], direction, exact=True, clean=even)
