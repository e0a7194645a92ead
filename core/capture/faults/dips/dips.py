"""Dips: places where a level falls fast and soon returns, each described by what tells a dropout from a rest.

A dip is described by the levels of the windows about it and by the spectra at its edges. What lost contact
does is seen in every band at once, on both sides, and happens once; a rest is seen in some bands, ends with a
note that is struck, and comes again.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from core.capture.faults.dips.again import comes_again
from core.capture.faults.dips.dip import Dip
from core.capture.faults.dips.points import scorecard
from core.capture.faults.dips.sound import UNHEARD, Around
from core.capture.faults.dips.spectra import EARLIER, LATER, TOGETHER, Edge, Sounds
from core.capture.measures.history import History
from core.capture.measures.loud.decibels import decibels, powers
from core.values import dataclass

SHORTEST, LONGEST_APART_DB, SHALLOWEST_DB = 2, 14.0, 5.0
"""Windows and decibels from which a dip is worth describing."""
WORTH_SPECTRA, WORTH_LISTENING = -2.3, -1.7
"""Points by the levels alone, and by levels and spectra, from which it is worth to look closer."""
MOST_UNHEARD = 128
"""So many dips wait for others like them to come; each keeps up to a tenth of a megabyte of sound."""
_REACH = 46
"""Windows after a return that are known."""


def level_features(levels: np.ndarray, channels: np.ndarray, falls: np.ndarray,
                   backs: np.ndarray) -> tuple[np.ndarray, np.ndarray]:  # fmt: skip
    """Which dips are worth describing, and of those rows of `LEVELS`.

    Falls and returns are windows of a buffer of levels (channels by windows, dB).
    """
    own, channels = np.unique(channels, return_inverse=True)
    levels = levels[own]
    rising = np.cumsum(powers(levels), axis=1, dtype=np.float64)
    sums = np.concatenate((np.zeros((len(levels), 1)), rising), axis=1)
    width = sums.shape[1]
    flat, starts = sums.ravel(), channels * width

    def mean(first: np.ndarray, last: np.ndarray) -> np.ndarray:
        last = np.maximum(last, first + 1)
        total = flat[starts + last] - flat[starts + first]
        return decibels(np.maximum(total / (last - first), 1e-20))

    before, after = mean(falls - 5, falls - 1), mean(backs + 1, backs + 5)
    first = mean(falls + 1, np.minimum(falls + 5, backs - 1))
    last = mean(np.maximum(backs - 5, falls + 1), backs - 1)
    fell, rose, apart = before - first, after - last, np.abs(before - after)
    worth = _worth(fell, rose, apart)
    channels, falls, backs, starts = channels[worth], falls[worth], backs[worth], starts[worth]
    steps_before = np.stack([mean(falls - at - 6, falls - at) for at in range(1, 26, 6)])
    steps_after = np.stack([mean(backs + at, backs + at + 6) for at in range(1, 31, 6)])
    swing, clear = np.zeros(len(falls)), np.zeros(len(falls))
    places = zip(channels.tolist(), falls.tolist(), backs.tolist(), strict=True)
    for row, (channel, fall, back) in enumerate(places):
        inside = levels[channel, fall + 1 : back - 1]
        swing[row] = inside.std() if len(inside) > 2 else 0.0
        clear[row] = _clear(sums[channel], fall, back)
    told = np.stack((
        fell[worth], rose[worth], apart[worth],
        mean(backs, backs + 5) - mean(backs + 8, backs + 24),
        mean(falls - 7, falls - 1) - mean(falls - 24, falls - 8), np.ptp(steps_before, axis=0),
        np.ptp(steps_after, axis=0), clear, swing, np.abs(first - last)[worth], np.log(backs - falls),
    ), axis=1)  # fmt: skip
    return worth, told


def _worth(fell: np.ndarray, rose: np.ndarray, apart: np.ndarray) -> np.ndarray:
    """Which dips are worth describing, by how far they fall and rise and how alike both sides are loud."""
    worth: np.ndarray = (apart <= LONGEST_APART_DB) & (np.minimum(fell, rose) >= SHALLOWEST_DB)
    return worth


def _clear(sums: np.ndarray, fall: int, back: int) -> float:
    """By how many dB the quietest half of a dip is below any stretch as long beside it."""
    span = min(max(1, (back - fall) // 2), _REACH - 6)
    quietest = [
        float((part[span:] - part[:-span]).min()) for first, last in
        ((fall - _REACH, fall - 2), (back + 2, back + _REACH), (fall, back))
        if len(part := sums[max(0, first) : last + 1]) > span
    ]  # fmt: skip
    return float(10 * np.log10(max(min(quietest[:-1]), 1e-20) / max(quietest[-1], 1e-20)))


@dataclass(frozen=True, slots=True)
class _Waiting:
    """Dips of which the sound was kept, to be described together with others."""

    channels: np.ndarray
    told: np.ndarray
    """Rows of `LEVELS`."""
    sounds: Sounds
    arounds: tuple[Around, ...]
    insides: tuple[np.ndarray, ...]
    """The levels of the windows inside."""

    def rows(self) -> Iterator[tuple[int, Around, np.ndarray]]:
        """Channel, sound and levels inside, a dip at a time."""
        return zip(self.channels.tolist(), self.arounds, self.insides, strict=True)


class Dips:
    """Describes the dips of a pass while their sound is at hand."""

    sparing = True
    """Whether dips that hardly count are passed over; not so where the points themselves are set."""

    def __init__(self, history: History) -> None:
        self._history = history
        self._waiting: list[_Waiting] = []
        self._found: list[Dip] = []
        self._unheard: dict[int, Around] = {}
        """By place among those found, the sound of dips that are worth listening to."""

    @property
    def found(self) -> list[Dip]:
        """All dips so far, in order of when they were taken; what comes again was not listened to."""
        self._describe()
        self._listen(len(self._unheard))
        return self._found

    def take(self, levels: np.ndarray, channels: np.ndarray, falls: np.ndarray, backs: np.ndarray,
             begin: int) -> None:  # fmt: skip
        """Keep those falls and returns that may count: windows of a buffer that begins at `begin`."""
        keep = backs - falls >= SHORTEST
        channels, falls, backs = channels[keep], falls[keep], backs[keep]
        if not len(falls):
            return
        keep, told = level_features(levels, channels, falls, backs)
        if self.sparing:
            counts = scorecard().add_up(told) >= WORTH_SPECTRA
            keep[keep], told = counts, told[counts]
        channels, falls, backs = channels[keep], falls[keep], backs[keep]
        for first in range(0, len(falls), TOGETHER):
            part = slice(first, first + TOGETHER)
            self._keep(levels, channels[part], falls[part], backs[part], told[part], begin)

    def _keep(self, levels: np.ndarray, channels: np.ndarray, falls: np.ndarray, backs: np.ndarray,
              told: np.ndarray, begin: int) -> None:  # fmt: skip
        """Keep the sound of some dips; describe them once there are many."""
        sounds = Sounds.of(self._history, channels, begin + falls, begin + backs)
        rows = list(zip(channels.tolist(), falls.tolist(), backs.tolist(), strict=True))
        edges = zip(channels.tolist(), sounds.starts.tolist(), sounds.stops.tolist(), strict=True)
        reach = EARLIER * sounds.down, LATER * sounds.down
        arounds = tuple(Around.of(self._history, *edge, *reach) for edge in edges)
        insides = tuple(levels[channel, fall:back].copy() for channel, fall, back in rows)
        self._waiting.append(_Waiting(channels, told, sounds, arounds, insides))
        if sum(len(one.told) for one in self._waiting) >= TOGETHER:
            self._describe()
            self._listen(len(self._unheard) - MOST_UNHEARD)

    def _describe(self) -> None:
        """Describe all that waits, but for what is to be told by listening."""
        waiting, self._waiting = self._waiting, []
        if not waiting:
            return
        edges = Sounds.together([one.sounds for one in waiting]).spectral_features(self._history)
        told = np.concatenate([one.told for one in waiting])
        known = np.concatenate((told, np.stack([edge.features for edge in edges])), axis=1)
        worth = scorecard().add_up(known) >= WORTH_LISTENING if self.sparing else np.ones(len(known), bool)
        rows = (row for one in waiting for row in one.rows())
        for row, (channel, around, inside) in enumerate(rows):
            if worth[row]:
                self._unheard[len(self._found)] = around
            self._found.append(_dip(channel, np.concatenate((known[row], UNHEARD)), edges[row], inside))

    def _listen(self, count: int) -> None:
        """Listen to so many of those that were found first, but not to what comes again: it is played."""
        asked = list(self._unheard)[: max(0, count)]
        for channel in {self._found[place].channel for place in asked}:
            mine = [place for place, dip in enumerate(self._found) if dip.channel == channel]
            rows = [row for row, place in enumerate(mine) if place in self._unheard and place <= asked[-1]]
            again = np.logical_or(*comes_again([self._found[place] for place in mine],
                                               self._history.sample_rate, rows))  # fmt: skip
            for row, played in zip(rows, again.tolist(), strict=True):
                dip, around = self._found[mine[row]], self._unheard.pop(mine[row])
                if not played:
                    dip.features[-len(UNHEARD) :] = around.features(dip.start, dip.stop)


def _dip(channel: int, features: np.ndarray, edge: Edge, inside: np.ndarray) -> Dip:
    bottom = float(np.sort(inside)[: max(1, len(inside) // 2)].mean())
    depth = float(min(edge.fell_db, edge.rose_db))
    return Dip(channel, edge.start, edge.stop, depth, bottom, edge.sound_db, features, edge.bands,
               edge.treble_db)  # fmt: skip
