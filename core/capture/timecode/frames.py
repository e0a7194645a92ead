"""Frames of timecode as they were heard: where each lies in the pass and what it says, as columns."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, replace

import numpy as np
from numpy.typing import NDArray

from core.values import dataclass

DROP_FLAG, COLOUR_FLAG, ODD_ZEROS = 1, 2, 4

_SUMS = np.zeros((64, 12), np.float32)
"""Weights of the data bits in the second of the day and the frame number, then in seven sums with a limit;
last the drop and colour flags and the number of ones."""
for _first, _length, _seconds, _frames, _column, _weight in (
    (0, 4, 0, 1, 2, 1), (8, 2, 0, 10, 2, 0), (16, 4, 1, 0, 3, 1), (24, 3, 10, 0, 6, 1), (32, 4, 60, 0, 4, 1),
    (40, 3, 600, 0, 7, 1), (48, 4, 3600, 0, 5, 1), (56, 2, 36000, 0, 5, 0),
):  # fmt: skip
    for _place in range(_length):
        _SUMS[_first + _place, [0, 1]] = _seconds << _place, _frames << _place
        _SUMS[_first + _place, _column] = _weight << _place
        if _seconds >= 3600:
            _SUMS[_first + _place, 8] = (_seconds // 3600) << _place
_SUMS[10, 9], _SUMS[11, 10], _SUMS[:, 11] = DROP_FLAG, COLOUR_FLAG, 1

_LIMITS = np.array([29, 9, 9, 9, 9, 5, 5, 23], np.float32)
"""Largest frame number, units of frames, seconds, minutes, hours, tens of seconds, minutes, and hours."""

_USER_ORDER = np.array([first + place for first in range(4, 64, 8) for place in (3, 2, 1, 0)])


@dataclass(frozen=True, slots=True)
class Frames:
    """object number of frames; every column has one value a frame."""

    start: NDArray[np.float64]
    """Place in samples from the start of the pass, may lie between two samples."""
    end: NDArray[np.float64]
    second: NDArray[np.int32]
    """Second of the day on the label."""
    frame: NDArray[np.int32]
    """Frame of that second on the label."""
    direction: NDArray[np.int8]
    """1 forward, -1 reverse."""
    flags: NDArray[np.uint8]
    user: NDArray[np.uint32]
    exact: NDArray[np.bool_]
    """True where every level change of the frame was seen, in rhythm."""
    clean: NDArray[np.bool_]
    """True where the rhythm was so even that the frame can stand alone."""

    def __len__(self) -> int:
        return len(self.start)

    def where(self, chosen: object) -> Frames:
        """Only the frames that a mask or a list of places chooses."""
        return Frames(*(getattr(self, field.name)[chosen] for field in fields(self)))

    def later(self, samples: float) -> Frames:
        """The same frames, so many samples further into the pass."""
        return replace(self, start=self.start + samples, end=self.end + samples)


NO_FRAMES = Frames(
    np.empty(0), np.empty(0), np.empty(0, np.int32), np.empty(0, np.int32), np.empty(0, np.int8),
    np.empty(0, np.uint8), np.empty(0, np.uint32), np.empty(0, np.bool_), np.empty(0, np.bool_),
)  # fmt: skip


def joined(parts: Iterable[Frames]) -> Frames:
    """All parts as one, by place in the pass."""
    listed = [part for part in parts if len(part)] or [NO_FRAMES]
    columns = (np.concatenate([getattr(part, field.name) for part in listed]) for field in fields(Frames))
    whole = Frames(*columns)
    return whole.where(np.argsort(whole.start, kind="stable"))


def read_words(
    data_bits: NDArray[np.uint8], start: NDArray[np.float64], end: NDArray[np.float64], direction: int,
    *, exact: bool, clean: NDArray[np.bool_],
) -> Frames:  # fmt: skip
    """Frames from rows of 64 data bits by their numbers; rows that no clock shows are left out."""
    sums = data_bits.astype(np.float32) @ _SUMS
    shown = (sums[:, 1:9] <= _LIMITS).all(axis=1)
    if not shown.all():
        data_bits, sums, clean = data_bits[shown], sums[shown], clean[shown]
        start, end = start[shown], end[shown]
    n = len(data_bits)
    odd_zeros = (sums[:, 11] + 13) % 2
    flags = sums[:, 9] + sums[:, 10] + odd_zeros * ODD_ZEROS
    user = np.packbits(np.take(data_bits, _USER_ORDER, axis=1), axis=1).view(">u4")[:, 0].astype(np.uint32)
    return Frames(
        start, end, sums[:, 0].astype(np.int32), sums[:, 1].astype(np.int32),
        np.full(n, direction, np.int8), flags.astype(np.uint8), user, np.full(n, exact), clean,
    )  # fmt: skip
