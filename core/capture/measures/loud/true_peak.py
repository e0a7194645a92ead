"""True peak: the largest value of the sound between its samples, by four times oversampling.

The filter is the usual one of polyphase resampling (a windowed sinc of 81 taps, Kaiser 5.0). How high a
stretch can rise between its samples is bounded twice: by the sum of the filter's taps, 2.24 times the
samples around, and by the energy of the steps from sample to sample (Cauchy and Schwarz). A stretch
whose bound stays below the true peak so far is passed over. Of a long pass only few stretches of every
1.4 s are oversampled: of those with the highest samples the ones that rise highest half way between them.
"""

from __future__ import annotations

import numpy as np

from core.capture.files.samples import Planar
from core.capture.measures.history import EXTREME_FRAMES, History
from core.capture.measures.low_pass import low_pass
from core.capture.measures.windows import Windows

FACTOR = 4
REACH = 10
"""Samples on either side that an interpolated value depends on."""
LOUDEST, STEEPEST, MOST = 256, 8, 6
"""Of a channel's stretches so many with the highest samples are looked at, so many of these with the steepest
steps as well as the very highest go on, and so many are oversampled."""
HARDLY_EVER = 1.42
"""Sound hardly ever rises between its samples by more than this times the highest sample near by."""
IN_FULL_SAMPLES = 24_000_000
"""A pass of so many samples over all channels is looked at wherever it could matter."""
_ROUNDING = 1.001
"""The taps of a phase do not quite add up to 1, and sums are rounded."""
_BLOCK = 16
"""Frames that are filtered by one product."""
_ROWS = 16
"""Stretches in one product: few enough that the library does not spread it over threads."""


def interpolator() -> np.ndarray:
    """Three filters of 20 taps that give the values a quarter, a half and three quarters on."""
    taps = low_pass(2 * REACH * FACTOR + 1, 1 / FACTOR, 5.0) * FACTOR
    return np.stack([taps[phase::FACTOR] for phase in range(1, FACTOR)])


class TruePeak:
    """Follows the true peak of every channel, in planar units."""

    def __init__(self, history: History, total_frames: int) -> None:
        self._history = history
        self.peak = np.zeros(history.channels)
        self._in_full = total_frames * history.channels <= IN_FULL_SAMPLES
        filters = interpolator()
        self._rise = float(np.abs(filters).sum(axis=1).max()) if self._in_full else HARDLY_EVER
        """How many times higher than the samples around it a stretch may rise."""
        self._by_steps = max(_by_steps(taps) for taps in filters)
        self._oversample = _Oversampler(filters)
        self._waiting: Windows | None = None
        """The group not yet looked at, since what follows it was not there."""
        self._before: Planar = np.zeros((history.channels, 1))
        """Peaks of the last stretches before it."""

    def add(self, windows: Windows) -> None:
        """Note one group's peaks; they are looked at when what follows them is there too."""
        np.maximum(self.peak, np.abs(windows.highest).max(axis=0), out=self.peak)
        self._look(windows.peaks[:, :1])
        self._waiting = windows

    def finish(self) -> None:
        """Look at what is left."""
        self._look(np.zeros_like(self._before))
        self._waiting = None

    def _look(self, following: Planar) -> None:
        """Look at the waiting group where it could raise the peak, most promising stretches first."""
        windows, before = self._waiting, self._before
        if windows is None:
            return
        self._before = windows.peaks[:, -1:]
        highest = np.abs(windows.highest).max(axis=0)[:, None]
        around = np.maximum(np.maximum(before, following), highest) * self._rise
        channels = np.flatnonzero(around[:, 0] > self.peak)
        if not len(channels):
            return
        peaks, start = windows.peaks[channels], windows.chunk.start
        self._most_promising(channels, start, peaks)
        if self._in_full:
            beside = np.concatenate((before[channels], peaks, following[channels]), axis=1)
            around = np.maximum(np.maximum(beside[:, :-2], beside[:, 2:]), peaks) * self._rise
            channel, stretch = np.nonzero(around > self.peak[channels, None])
            self._wherever(channels[channel], start + stretch * EXTREME_FRAMES)

    def _sound(self, channels: np.ndarray, starts: np.ndarray) -> np.ndarray:
        sound = self._history.stretches(channels, starts - REACH, EXTREME_FRAMES + 2 * REACH)
        return sound.astype(np.float32, copy=False)

    def _most_promising(self, channels: np.ndarray, start: int, peaks: Planar) -> None:
        """Oversample those of each channel's stretches that rise highest half way between samples."""
        loud = _highest(peaks, LOUDEST)
        height = np.take_along_axis(peaks, loud, axis=1)
        row, at = np.nonzero(height * self._rise > self.peak[channels, None])
        steep = height.copy()
        sound = self._sound(channels[row], start + loud[row, at] * EXTREME_FRAMES)
        steep[row, at] += 0.5 * np.sqrt(_steps(sound))
        some = np.concatenate([_highest(rank, STEEPEST) for rank in (height, steep)], axis=1)
        could = np.take_along_axis(height, some, axis=1) * self._rise > self.peak[channels, None]
        row, place = np.nonzero(could)
        rows = self._sound(channels[row], start + loud[row, some[row, place]] * EXTREME_FRAMES)
        halves = np.full(some.shape, -1.0, np.float32)
        halves[row, place] = _largest(_half_way(rows)[:, REACH - 2 : REACH + EXTREME_FRAMES - 1])
        best = np.zeros(some.shape, bool)
        np.put_along_axis(best, _highest(halves, MOST), values=True, axis=1)
        which = best[row, place]
        self._raise(channels[row[which]], rows[which])

    def _wherever(self, channels: np.ndarray, starts: np.ndarray) -> None:
        """Oversample every one of these stretches that could still raise its channel's peak."""
        for at in range(0, len(channels), 1024):
            which = channels[at : at + 1024]
            rows = self._sound(which, starts[at : at + 1024])
            highest = _largest(rows) + self._by_steps * np.sqrt(_steps(rows))
            could = highest * _ROUNDING > self.peak[which]
            self._raise(which[could], rows[could])

    def _raise(self, channels: np.ndarray, rows: np.ndarray) -> None:
        np.maximum.at(self.peak, channels, self._oversample(rows))


class _Oversampler:
    """Filters stretches by products with a matrix, block by block."""

    def __init__(self, filters: np.ndarray) -> None:
        self._product = _as_product(filters)
        reach = len(self._product)
        self._rows = np.zeros((_ROWS, EXTREME_FRAMES + 2 * REACH), np.float32)
        self._windows = np.lib.stride_tricks.sliding_window_view(self._rows, reach, axis=1)[:, ::_BLOCK]
        self._blocks = np.zeros(self._windows.shape, np.float32)

    def __call__(self, rows: np.ndarray) -> np.ndarray:
        """Largest magnitude between the samples of each row."""
        largest = np.zeros(len(rows))
        for at in range(0, len(rows), _ROWS):
            some = rows[at : at + _ROWS]
            self._rows[: len(some)] = some
            np.copyto(self._blocks, self._windows)
            between = self._blocks.reshape(-1, len(self._product)) @ self._product
            largest[at : at + _ROWS] = _largest(between.reshape(_ROWS, -1))[: len(some)]
        return largest


def _highest(rank: Planar, count: int) -> np.ndarray:
    """Which of each channel's stretches rank highest."""
    highest: np.ndarray = np.argpartition(rank, -count, axis=1)[:, -count:]
    return highest


def _largest(rows: np.ndarray) -> np.ndarray:
    """Largest magnitude of each row, taken by its bits, which for magnitudes stand in the same order."""
    largest: np.ndarray = np.abs(rows).view(np.int32).max(axis=1).view(np.float32)
    return largest


def _steps(rows: np.ndarray) -> np.ndarray:
    """Energy of the steps from sample to sample in each row."""
    steps = np.zeros_like(rows)
    np.subtract(rows.ravel()[1:], rows.ravel()[:-1], out=steps.ravel()[:-1])
    steps[:, -1] = 0
    energy: np.ndarray = np.vecdot(steps, steps)
    return energy


def _half_way(rows: np.ndarray) -> np.ndarray:
    """Values half way between samples, by the cubic through the four around: from the second sample on."""
    row = rows.ravel()
    halves = np.zeros_like(row)
    beside = row[:-3] + row[3:]
    beside *= -0.0625
    between = row[1:-2] + row[2:-1]
    between *= 0.5625
    np.add(between, beside, out=halves[:-3])
    return halves.reshape(rows.shape)


def _as_product(filters: np.ndarray) -> np.ndarray:
    """The matrix that turns a block and what lies around it into all values between its samples."""
    product = np.zeros((_BLOCK + 2 * REACH, _BLOCK, len(filters)), np.float32)
    for phase, taps in enumerate(filters):
        for tap, weight in enumerate(taps):
            at = np.arange(_BLOCK)
            product[at + 2 * REACH - tap, at, phase] = weight
    return product.reshape(len(product), -1)


def _by_steps(taps: np.ndarray) -> float:
    """By how much at most a value lies above the nearer sample, steps of energy 1 all around.

    The value less that sample is a sum over steps; their weights are running sums of the taps from
    either end towards the sample.
    """
    onward, back = np.cumsum(taps[::-1]), np.cumsum(taps)[::-1]
    sides = (np.sum(onward[:at] ** 2) + np.sum(back[at + 1 :] ** 2) for at in (REACH - 1, REACH))
    return float(np.sqrt(min(sides)))
