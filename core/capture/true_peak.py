"""True peak: the largest value of the sound between its samples, by four times oversampling.

The filter is the usual one of polyphase resampling (a windowed sinc of 81 taps, Kaiser 5.0). How high a
stretch can rise between its samples is bounded twice: by the sum of the filter's taps, 2.24 times the
samples around, and by the energy of the steps from sample to sample (Cauchy and Schwarz). A stretch
whose bound stays below the true peak so far is passed over. Of a long pass only those few stretches of
every 1.4 s are oversampled that have the highest bounds, and those in which a parabola through the
largest samples rises highest.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.capture.history import EXTREME_FRAMES, History
from core.capture.windows import Floats, Windows

FACTOR = 4
REACH = 10
"""Samples on either side that an interpolated value depends on."""
FIRST = 3
"""So many stretches by either rank are looked at first, and in a long pass alone."""
IN_FULL_SAMPLES = 24_000_000
"""A pass of so many samples over all channels is looked at wherever it could matter."""
_ROUNDING = 1.001
"""The taps of a phase do not quite add up to 1, and sums are rounded."""
_TOGETHER = 4
"""Stretches in one product: few enough that the library does not spread it over threads."""


def interpolator() -> np.ndarray:
    """Three filters of 20 taps that give the values a quarter, a half and three quarters on."""
    from scipy.signal import firwin

    taps = firwin(2 * REACH * FACTOR + 1, 1 / FACTOR, window=("kaiser", 5.0)) * FACTOR
    return np.stack([taps[phase::FACTOR] for phase in range(1, FACTOR)])


@dataclass(frozen=True, slots=True)
class _Ends:
    """What stands next to a group, one column a channel."""

    peak: Floats
    steps: Floats

    @classmethod
    def nothing(cls, channels: int) -> _Ends:
        """Silence."""
        return cls(np.zeros((channels, 1)), np.zeros((channels, 1)))


class TruePeak:
    """Follows the true peak of every channel, in planar units."""

    def __init__(self, history: History, total_frames: int) -> None:
        self._history = history
        self.peak = np.zeros(history.channels)
        self._in_full = total_frames * history.channels <= IN_FULL_SAMPLES
        filters = interpolator()
        self._overshoot = float(np.abs(filters).sum(axis=1).max())
        self._by_steps = max(_by_steps(taps) for taps in filters)
        self._product = _as_product(filters)
        self._waiting: Windows | None = None
        """The group not yet looked at, since what follows it was not there."""
        self._before = _Ends.nothing(history.channels)

    def add(self, windows: Windows) -> None:
        """Note one group's peaks; they are looked at when what follows them is there too."""
        np.maximum(self.peak, windows.peaks.max(axis=1), out=self.peak)
        self._look(_Ends(windows.peaks[:, :1], windows.steps[:, :1]))
        self._waiting = windows

    def finish(self) -> None:
        """Look at what is left."""
        self._look(_Ends.nothing(self._history.channels))
        self._waiting = None

    def _look(self, following: _Ends) -> None:
        """Look at the waiting group where it could raise the peak, most promising stretches first."""
        windows = self._waiting
        if windows is None:
            return
        bound = self._bound(windows, following)
        self._before = _Ends(windows.peaks[:, -1:], windows.steps[:, -1:])
        could = bound > self.peak[:, None]
        which = np.flatnonzero(could.any(axis=1))
        if not len(which):
            return
        first = _highest(_promise(windows, which), FIRST) | _highest(bound[which], FIRST)
        self._raise(windows.chunk.start, which, first & could[which])
        if self._in_full:
            could = bound > self.peak[:, None]
            self._raise(windows.chunk.start, which, ~first & could[which])

    def _bound(self, windows: Windows, following: _Ends) -> Floats:
        """Channels by stretches: more than the sound can reach there between its samples."""
        peaks = np.concatenate((self._before.peak, windows.peaks, following.peak), axis=1)
        around = np.maximum(np.maximum(peaks[:, :-2], peaks[:, 2:]), windows.peaks)
        steps = np.concatenate((self._before.steps, windows.steps, following.steps), axis=1)
        nearby = np.sqrt(steps[:, :-2] + windows.steps + steps[:, 2:]) * (self._by_steps * _ROUNDING)
        by_steps = around * _ROUNDING + np.repeat(nearby, around.shape[1] // nearby.shape[1], axis=1)
        bound: Floats = np.minimum(around * self._overshoot, by_steps)
        return bound

    def _raise(self, start: int, rows: np.ndarray, wanted: np.ndarray) -> None:
        """Oversample the wanted stretches of these channels."""
        row, stretches = np.nonzero(wanted)
        channels = rows[row]
        for at in range(0, len(channels), 1024):
            which = channels[at : at + 1024]
            starts = start + stretches[at : at + 1024] * EXTREME_FRAMES
            sound = self._history.stretches(which, starts - REACH, EXTREME_FRAMES + 2 * REACH)
            np.maximum.at(self.peak, which, self._between(sound.astype(np.float32)).astype(np.float64))

    def _between(self, rows: np.ndarray) -> np.ndarray:
        """Largest magnitude between the samples of each row."""
        short = -len(rows) % _TOGETHER
        whole = np.concatenate((rows, np.zeros((short, rows.shape[1]), np.float32)))
        between = whole.reshape(-1, _TOGETHER, rows.shape[1]) @ self._product
        largest: np.ndarray = np.maximum(between.max(axis=2), -between.min(axis=2)).ravel()
        return largest[: len(rows)]


def _as_product(filters: np.ndarray) -> np.ndarray:
    """The matrix that turns a stretch and what lies around it into all values between its samples."""
    product = np.zeros((EXTREME_FRAMES + 2 * REACH, EXTREME_FRAMES, len(filters)), np.float32)
    for phase, taps in enumerate(filters):
        for tap, weight in enumerate(taps):
            at = np.arange(EXTREME_FRAMES)
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


def _highest(rank: Floats, count: int) -> np.ndarray:
    """The stretches of each channel that rank highest."""
    count = min(count, rank.shape[1])
    bar = np.partition(rank, -count, axis=1)[:, -count, None]
    highest: np.ndarray = rank >= bar
    return highest


def _promise(windows: Windows, channels: np.ndarray) -> Floats:
    """Channels by stretches: the top of the parabola through each extreme and its two neighbours."""
    value, before, after = (one[:, channels] for one in (windows.extremes, windows.before, windows.after))
    slope, bend = np.abs(after - before), np.abs(2 * value - before - after)
    inside = ~windows.edge[:, channels] & (2 * bend > slope)
    beyond = np.where(inside, slope * slope / (8 * np.where(inside, bend, 1)), slope / 4)
    promise: Floats = (np.abs(value) + beyond).max(axis=0)
    return promise
