"""Marks by which a second copy of a sound is known: extremes of short stretches, with their neighbours.

The value of an extreme costs nothing, where it stands does; so that is looked up only for values that occur
again near by. Where that is so everywhere, as in soft noise of 16 bits, all of them are looked up.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from core.capture.files.samples import Planar
from core.capture.measures.history import EXTREME_FRAMES, History
from core.capture.measures.windows import Windows
from core.values import dataclass

Numbers = NDArray[np.intp]
Pairs = tuple[Numbers, Numbers, Numbers]
"""Of every pair the first, the second and the channel."""
_MANY = 160
"""With so many values of one channel that occur again near by, only the neighbours tell which are a pair."""


@dataclass(frozen=True, slots=True)
class Marks:
    """Some extremes, with where they stand and what beside them."""

    places: Numbers
    """Frame of the pass at which each stands first in its stretch."""
    values: Planar
    before: Planar
    """The samples before those."""
    after: Planar
    """The samples after those."""
    telling: NDArray[np.bool_]
    """Whether both neighbours are known, and not both are like the extreme."""


def marks(history: History, channels: Numbers, stretches: Numbers, values: Planar) -> Marks:
    """Where extremes of these values stand, by channel and by number of the stretch in the pass."""
    rows = history.extreme_stretches(channels, stretches)
    places = stretches * EXTREME_FRAMES + (rows == values[:, None]).argmax(axis=1)
    before, after = history.samples(channels, places - 1), history.samples(channels, places + 1)
    known = (places > history.oldest) & (places + 1 < history.written)
    return Marks(places, values, before, after, known & ((before != values) | (after != values)))


class Agreeing:
    """Finds pairs of marks that agree, in a group or between it and the end of the group before."""

    def __init__(self, history: History, look_back: int) -> None:
        self._history = history
        self._a_group = history.group_frames // EXTREME_FRAMES
        self._before = min(self._a_group, look_back // EXTREME_FRAMES + 1)
        """Stretches of the group before that count."""
        self._a_side = self._before + self._a_group
        self._values = np.zeros((history.channels, 2, self._a_side), history.scale.floats)
        """The largest and the smallest sample of each stretch."""
        self._numbers = np.arange(2 * self._a_side, dtype=np.uint64)

    def add(self, windows: Windows) -> Iterator[tuple[int, Numbers, Numbers]]:
        """Take a group; channel by channel the frames of the pass of first and second marks that agree."""
        self._values[:, :, : self._before] = self._values[:, :, self._a_group :]
        self._values[:, :, self._before :] = windows.extremes.swapaxes(0, 1)
        origin = windows.chunk.start // EXTREME_FRAMES - self._before
        first, second, channel = self._next_alike(_bits(self._values.reshape(len(self._values), -1)))
        many = np.bincount(channel, minlength=len(self._values)) > _MANY
        few = ~many[channel]
        found = [self._agree((first[few], second[few], channel[few]), origin)]
        found += [self._by_neighbours(one, origin) for one in np.flatnonzero(many)]
        first, second, channel = (np.concatenate(column) for column in zip(*found, strict=True))
        for one in np.unique(channel).tolist():
            mine = channel == one
            yield one, np.minimum(first, second)[mine], np.maximum(first, second)[mine]

    def _next_alike(self, values: NDArray[np.uint32]) -> Pairs:
        """Numbers of values in each row and of the next one that is equal, and the rows; zeros are left out.

        No further apart than is looked back, and either both largest or both smallest samples.
        """
        ranked = values.astype(np.uint64)
        ranked <<= np.uint64(32)
        ranked |= self._numbers
        ranked.sort(axis=1)
        flat = ranked.ravel()
        at = np.flatnonzero(flat[1:] ^ flat[:-1] < 1 << 32)
        at = at[(at + 1) % ranked.shape[1] > 0]
        one, two, row = flat[at], flat[at + 1], at // ranked.shape[1]
        first, second = ((number & np.uint64(0xFFFFFFFF)).astype(np.intp) for number in (one, two))
        near = (second - first <= self._before) & ((second < self._a_side) == (first < self._a_side))
        near &= one >= 1 << 32
        return first[near], second[near], row[near]

    def _agree(self, pairs: Pairs, origin: int) -> Pairs:
        """The frames of those pairs of which the neighbours agree too."""
        first, second, channel = pairs
        both = self._look(np.concatenate((channel, channel)), np.concatenate((first, second)), origin)
        (one, two), before, after = (part.reshape(2, -1) for part in (both.places, both.before, both.after))
        alike = both.telling.reshape(2, -1).all(axis=0) & (before[0] == before[1]) & (after[0] == after[1])
        return one[alike], two[alike], channel[alike]

    def _by_neighbours(self, channel: np.intp, origin: int) -> Pairs:
        """Pairs of one channel, of all its marks those that agree with the next one like them."""
        every = np.arange(2 * self._a_side)
        found = self._look(np.full(len(every), channel), every, origin)
        key = _bits(found.values) * np.uint32(0x9E3779B1)
        key ^= _bits(found.after) * np.uint32(0x85EBCA77) ^ _bits(found.before) * np.uint32(0xC2B2AE3D)
        key[~found.telling] = 0
        first, second, _ = self._next_alike(key[None])
        return found.places[first], found.places[second], np.full(len(first), channel)

    def _look(self, channels: Numbers, numbers: Numbers, origin: int) -> Marks:
        """The marks of these numbers, of stretches that are counted from `origin`."""
        values = self._values.reshape(len(self._values), -1)[channels, numbers]
        return marks(self._history, channels, numbers % self._a_side + origin, values)


def _bits(values: Planar) -> NDArray[np.uint32]:
    """Samples as whole numbers that are equal where the samples are."""
    return values.astype(np.float32, copy=False).view(np.uint32)
