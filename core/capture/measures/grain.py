"""How fine the samples really are, and whether their tops are flat: told by the extremes of every stretch."""

from __future__ import annotations

import numpy as np

from core.capture.measures.history import EXTREME_FRAMES, History
from core.capture.measures.marks import marks
from core.capture.measures.windows import Windows
from core.values import dataclass

CORNER = 0.002
"""Part of full scale by which a flat top stands out at once; a slow sound's round top does not."""
FEWEST_TOPS = 10
"""So many flat tops at one level are a limit, not chance."""
QUIETEST = 0.01
"""Tops lower than this part of full scale are not looked at."""
FEWEST_VALUES = 64
"""A tone that repeats, or next to silence, has fewer values and tells nothing of depth."""


@dataclass(frozen=True, slots=True)
class FlatTops:
    """A channel whose peaks are cut at one level below full scale."""

    channel: int
    level: float
    """Part of full scale at which they are cut."""
    places: int
    first: int
    """Frame of the pass at which the first of them stands."""


class Grain:
    """Follows both while the pass goes by."""

    def __init__(self, history: History) -> None:
        self._history = history
        self._scale = history.scale
        self._whole = history.scale.unit < 1
        self._bits = np.zeros(history.channels, np.int64)
        self._values: set[int] = set()
        """Some of the values that were seen, to tell sound from silence and from a tone that repeats."""
        shape = 2, history.channels
        self._most = np.zeros(shape)
        self._count = np.zeros(shape, np.int64)
        self._first = np.zeros(shape, np.int64)

    def add(self, windows: Windows) -> None:
        """Take one group's extremes in."""
        if self._whole:
            whole = windows.extremes.astype(np.int32)
            self._bits |= np.bitwise_or.reduce(np.bitwise_or.reduce(whole, axis=2), axis=0)
            if len(self._values) < FEWEST_VALUES:
                self._values.update(np.unique(whole).tolist())
        most = np.abs(windows.highest)
        higher = most > self._most
        self._most = np.where(higher, most, self._most)
        self._count[higher] = 0
        enough = most >= np.maximum(self._most, QUIETEST / self._scale.unit)
        if enough.any():
            self._tops(windows, enough)

    def _tops(self, windows: Windows, enough: np.ndarray) -> None:
        """Count the flat ones among the highest tops so far, of those sides and channels that have some."""
        sides, channels = np.nonzero(enough)
        high = np.abs(windows.extremes[sides, channels]) >= self._most[sides, channels, None]
        which, stretches = np.nonzero(high)
        side, channel = sides[which], channels[which]
        values = windows.extremes[side, channel, stretches]
        tops = marks(self._history, channel, stretches + windows.chunk.start // EXTREME_FRAMES, values)
        flat = tops.telling & (tops.after == tops.values)
        flat &= np.abs(tops.values - tops.before) >= CORNER / self._scale.unit
        # Backwards, so that the first of several places stays.
        new = np.flatnonzero(flat & (self._count[side, channel] == 0))[::-1]
        self._first[side[new], channel[new]] = tops.places[new]
        np.add.at(self._count, (side, channel), flat)

    def depth(self) -> int | None:
        """Bits that the samples use; none for floating point, or where hardly anything sounds."""
        bits = int(np.bitwise_or.reduce(self._bits)) if len(self._bits) else 0
        if not self._whole or not bits or len(self._values) < FEWEST_VALUES:
            return None
        spare = (bits & -bits).bit_length() - 1
        full = 1 - float(np.log2(self._scale.unit))
        return round(full) - spare

    def flat_tops(self) -> list[FlatTops]:
        """The channels whose tops are flat below full scale."""
        found = []
        for channel in range(self._most.shape[1]):
            sides = [side for side in (0, 1) if self._count[side, channel] >= FEWEST_TOPS
                     and QUIETEST <= self._most[side, channel] * self._scale.unit < 1 - 2 * self._scale.unit
                     and self._most[side, channel] < self._scale.top]  # fmt: skip
            if sides:
                first = min(int(self._first[side, channel]) for side in sides)
                level = float(max(self._most[side, channel] for side in sides)) * self._scale.unit
                found.append(
                    FlatTops(channel, level, int(sum(self._count[side, channel] for side in sides)), first)
                )
        return found
