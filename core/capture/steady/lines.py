"""Lines that stand in the spectrum of a track for seconds on end, whatever is played there meanwhile.

Music moves: what a fifth of the moments of eleven seconds do not fall below is hiss, and what never stops.
"""

from __future__ import annotations

import numpy as np

from core.capture.measures.history import History
from core.capture.measures.loud.decibels import decibels
from core.capture.measures.spectra import Spectra
from core.capture.measures.windows import Windows

LOW_HZ, HIGH_HZ = 300.0, 15000.0
BLOCK_MOMENTS = 32
"""Moments that are looked at together, about 11 s."""
_KEPT = 6
"""The seventh lowest of them stands for what is always there."""
_NEAR, _FAR = 4, 12
"""A line is held against what lies so many bins to either side."""
_SIDES = np.concatenate((np.arange(-_FAR, -_NEAR + 1), np.arange(_NEAR, _FAR + 1)))
STANDS_OUT_DB, _FAINTEST_DBFS = 7.0, -120.0
_MOST_LINES = 12
"""Of one track no more are kept of a block, the strongest."""
_SHOWS_DB = 15.0
"""A track whose own sound is so much weaker than a line elsewhere would show it."""
_NOTHING = 1e-14
COLUMNS = ("block", "channel", "hertz", "level", "above", "has", "lacks", "rest", "swing", "sway")
"""Of a line: its block and channel, hertz, dBFS, dB above its sides; how many channels have it, and lack it;
by how many dB the channel's quietest moments are louder than it, and its loudest than those; how far it sways
from moment to moment, in dB."""


class SteadyLines:
    """Takes the spectra of every group; memory grows by some bytes for each line that is found."""

    def __init__(self, history: History, spectra: Spectra) -> None:
        self._spectra = spectra
        self._step = history.sample_rate / spectra.frame
        self.block_seconds = BLOCK_MOMENTS * spectra.spacing_seconds
        self._first = int(np.ceil(LOW_HZ / self._step))
        self._last = min(int(HIGH_HZ / self._step), spectra.reach - _FAR - 1)
        self._rows = np.zeros((history.channels, BLOCK_MOMENTS, spectra.reach), np.float32)
        self._filled = self._blocks = 0
        self._found: list[np.ndarray] = []

    def add(self, windows: Windows) -> None:
        """Take one group in, after its spectra."""
        power = self._spectra.power
        if power is None or self._last - self._first < 2 * _FAR:
            return
        done = 0
        while done < power.shape[1]:
            room = min(BLOCK_MOMENTS - self._filled, power.shape[1] - done)
            self._rows[:, self._filled : self._filled + room] = power[:, done : done + room]
            self._filled, done = self._filled + room, done + room
            if self._filled == BLOCK_MOMENTS:
                self._found.append(self._look())
                self._filled, self._blocks = 0, self._blocks + 1

    def found(self) -> np.ndarray:
        """Lines by `COLUMNS`, block after block."""
        none = np.zeros((0, len(COLUMNS)), np.float32)
        return np.concatenate(self._found) if self._found else none

    def _look(self) -> np.ndarray:
        always = np.partition(self._rows, _KEPT, axis=1)[:, _KEPT]
        level = self._decibels(always)
        channel, place, above = self._lines(level)
        near = np.zeros(level.shape, bool)
        for by in (-1, 0, 1):
            near[channel, place + by] = True
        power = always[channel, place - 1] + always[channel, place] + always[channel, place + 1]
        strength = self._decibels(power)
        has = near[:, place]
        lacks = ~has & (
            np.median(level[:, np.maximum(0, place[:, None] + _SIDES)], axis=2) < strength - _SHOWS_DB
        )
        quiet, loud = np.percentile(self._decibels(self._rows.sum(axis=2)), (10, 90), axis=1)
        low, high = np.percentile(self._rows[channel, :, place], (20, 80), axis=1)
        told = np.stack([
            np.full(len(channel), self._blocks), channel,
            (place + _between(level, channel, place)) * self._step, strength, above,
            has.sum(axis=0), lacks.sum(axis=0), quiet[channel] - strength, (loud - quiet)[channel],
            self._decibels(high) - self._decibels(low),
        ], axis=1).astype(np.float32)  # fmt: skip
        kept: np.ndarray = told[_strongest(channel, strength)]
        return kept

    def _decibels(self, power: np.ndarray) -> np.ndarray:
        return decibels(power * self._spectra.gain + _NOTHING)

    def _lines(self, level: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Channels and bins of lines, and decibels by which each stands above its sides."""
        inner = level[:, self._first : self._last]
        tops = inner > _FAINTEST_DBFS
        for by in (1, 2):
            tops &= inner >= level[:, self._first - by : self._last - by]
            tops &= inner > level[:, self._first + by : self._last + by]
        channel, place = np.nonzero(tops)
        place = place + self._first
        beside = np.maximum(0, place[:, None] + _SIDES)
        above = level[channel, place] - np.median(level[channel[:, None], beside], axis=1)
        use = above >= STANDS_OUT_DB
        return channel[use], place[use], above[use]


def _strongest(channel: np.ndarray, strength: np.ndarray) -> np.ndarray:
    """Numbers of the strongest lines of every channel, in order."""
    order = np.lexsort((-strength, channel))
    rank = np.arange(len(order)) - np.searchsorted(channel[order], channel[order])
    kept: np.ndarray = np.sort(order[rank < _MOST_LINES])
    return kept


def _between(level: np.ndarray, channel: np.ndarray, place: np.ndarray) -> np.ndarray:
    """How far beside its bin a line lies, by a parabola through three."""
    left, middle, right = (level[channel, place + by] for by in (-1, 0, 1))
    shift = 0.5 * (left - right) / np.minimum(left - 2 * middle + right, -1e-6)
    near: np.ndarray = np.clip(shift, -0.5, 0.5)
    return near
