"""Mains hum: a steady 50 or 60 Hz line with harmonics under whatever else a channel carries."""

from __future__ import annotations

import numpy as np

from core.capture.measures.history import History
from core.capture.measures.windows import PARTS, Windows
from core.values import dataclass

MAINS_HZ = (50.0, 60.0)
HARMONICS = 4
SEGMENT_SECONDS = 2.0
FROM_DBFS = -60.0
OFF_HZ = 0.6
"""How far hum may be off its place, as when a tape runs 1 % fast."""
_FUNDAMENTAL = 1e-3
"""A harmonic that is 30 dB stronger than the fundamental is a tone of its own."""
_CLEAR_DB = 9.0
"""A line counts if it stands out so far from its surroundings."""
_SPREAD_DB = 4.0
"""Four fifths of a hum's segments are alike in level so far."""
_HEARD = 0.75
"""Part of the quietest third of the segments in which a harmonic must be heard."""


@dataclass(frozen=True, slots=True)
class Hum:
    """Hum on one channel."""

    channel: int
    mains_hz: float
    measured_hz: float
    level_dbfs: float
    """RMS of the fundamental and its harmonics."""


class _Bins:
    """Where in a spectrum the mains frequencies and their harmonics lie, and what lies beside them."""

    def __init__(self, step: float) -> None:
        order = np.tile(np.arange(1, HARMONICS + 1), len(MAINS_HZ))
        reach = np.ceil(OFF_HZ * order / step).astype(int)[:, None]
        self.step = step
        self.centre = np.round(np.repeat(MAINS_HZ, HARMONICS) * order / step).astype(int)
        by = np.arange(-reach.max(), reach.max() + 1)
        self.within = np.abs(by) <= reach
        self.near = self.centre[:, None] + by
        sides = reach + np.arange(4, 13)
        self.beside = self.centre[:, None] + np.concatenate((-sides, sides), axis=1)
        """Nine bins on either side, a little way off."""
        self.highest = int(self.beside.max()) + 1


class HumWatch:
    """Collects, for every 2 s of the pass, the lines at the mains' frequencies and their harmonics."""

    def __init__(self, history: History) -> None:
        self._part = history.window // PARTS
        self._rate = history.sample_rate / self._part
        self._unit = history.scale.unit / self._part
        self._size = int(SEGMENT_SECONDS * self._rate)
        self._buffer = np.zeros((history.channels, self._size), np.float32)
        self._filled = 0
        self._levels: list[np.ndarray] = []
        """For each segment: channels by mains by harmonics by (power, surroundings, frequency, phase)."""
        window = np.hanning(self._size + 1)[:-1].astype(np.float32)
        self._window = window
        self._bins = _Bins(self._rate / self._size)
        self._gain = float(np.sum(window))

    def add(self, windows: Windows) -> None:
        """Take one chunk in."""
        used = -(-windows.chunk.frames // self._part)
        fresh = windows.parts.reshape(len(windows.parts), -1)[:, :used]
        at = 0
        while at < fresh.shape[1]:
            room = min(self._size - self._filled, fresh.shape[1] - at)
            self._buffer[:, self._filled : self._filled + room] = fresh[:, at : at + room]
            self._filled += room
            at += room
            if self._filled == self._size:
                self._levels.append(self._lines(self._buffer))
                self._filled = 0

    def finish(self) -> None:
        """Use what is left if the pass is too short for a whole segment."""
        if not self._levels and self._filled > self._size // 2:
            self._buffer[:, self._filled :] = 0
            self._levels.append(self._lines(self._buffer))

    def _lines(self, sound: np.ndarray) -> np.ndarray:
        from scipy.fft import rfft

        bins = self._bins
        centred = sound - sound.mean(axis=1, keepdims=True)
        spectrum = rfft(centred * self._window, axis=1)[:, : bins.highest]
        power = (spectrum.real**2 + spectrum.imag**2).astype(np.float64)
        rows = np.arange(len(power))[:, None]
        near = np.where(bins.within, power[:, bins.near], -1.0)
        peak = bins.near[np.arange(len(bins.centre)), near.argmax(axis=2)]
        before, at, after = (power[rows, peak + by] for by in (-1, 0, 1))
        beside = power[:, bins.beside]
        beside.partition((8, 9), axis=2)
        scale = 2 / self._gain**2 / 1.5 * self._unit**2
        level, floor = (before + at + after) * scale, beside[:, :, 8:10].mean(axis=2) * (3 * scale)
        place = (peak + _between(before, at, after)) * bins.step
        lines = np.stack((level, floor, place, np.angle(spectrum[rows, bins.centre])), axis=2)
        return lines.reshape(len(sound), len(MAINS_HZ), HARMONICS, 4)

    def found(self) -> list[Hum]:
        """The channels that hum, each once, at the stronger of the two mains frequencies."""
        if not self._levels:
            return []
        segments = np.stack(self._levels)
        found = []
        for channel in range(segments.shape[1]):
            hums = [hum for row in range(len(MAINS_HZ)) if (hum := _hum(segments, channel, row))]
            if hums:
                found.append(max(hums, key=lambda hum: hum.level_dbfs))
        return found


def _between(before: np.ndarray, at: np.ndarray, after: np.ndarray) -> np.ndarray:
    """How far beside a peak's bin its line lies, from the power of three bins under a Hann window."""
    a, b, c = np.sqrt(before), np.sqrt(at), np.sqrt(after)
    ratio = np.maximum(a, c) / np.maximum(b, 1e-30)
    beside: np.ndarray = np.where(a > c, -1, 1) * (2 * ratio - 1) / (1 + ratio)
    return beside


def _hum(segments: np.ndarray, channel: int, row: int) -> Hum | None:
    lines = segments[:, channel, row]
    clear = lines[..., 0] > lines[..., 1] * 10 ** (_CLEAR_DB / 10)
    near = np.abs(lines[:, 0, 2] - MAINS_HZ[row]) <= OFF_HZ
    fundamental = clear[:, 0] & near
    if fundamental.mean() < 0.6:
        return None
    held = lines[fundamental]
    level = 10 * np.log10(held[:, 0, 0])
    spread = np.subtract(*np.percentile(level, (80, 20)))
    wander = np.subtract(*np.percentile(held[:, 0, 2], (80, 20)))
    if spread > _SPREAD_DB or wander > 0.25:
        return None
    power = float(np.median(held[:, 0, 0]))
    overtones = [
        one for order in range(2, HARMONICS + 1) if (one := _overtone(held, clear[fundamental], order))
    ]
    if not overtones or not _FUNDAMENTAL * max(overtones) <= power <= 1e6 * max(overtones):
        return None
    level_dbfs = float(10 * np.log10(power + sum(overtones)))
    if level_dbfs < FROM_DBFS - 0.3:
        return None
    return Hum(channel, MAINS_HZ[row], _frequency(segments[:, channel, row, 0], fundamental, MAINS_HZ[row]),
               level_dbfs)  # fmt: skip


def _overtone(lines: np.ndarray, clear: np.ndarray, order: int) -> float:
    """Power of a harmonic by the segments in which least else sounds about it; 0 if it is not there.

    Hum never stops, so it is heard wherever the music leaves room, and is as loud in every such place.
    """
    here = lines[:, order - 1]
    quiet = np.argsort(here[:, 1], kind="stable")[: max(1, len(here) // 3)]
    in_tune = np.abs(here[:, 2] - order * lines[:, 0, 2]) < 0.5
    heard = quiet[(clear[:, order - 1] & in_tune)[quiet]]
    if len(heard) < _HEARD * len(quiet):
        return 0.0
    spread = np.subtract(*np.percentile(10 * np.log10(here[heard, 0]), (80, 20)))
    return float(np.median(here[heard, 0])) if spread <= _SPREAD_DB else 0.0


def _frequency(lines: np.ndarray, clear: np.ndarray, mains: float) -> float:
    """The line's frequency: by its place in the spectrum, then finer by its phase from segment to segment."""
    coarse = float(np.median(lines[clear, 2]))
    pairs = np.flatnonzero(clear[1:] & clear[:-1])
    if not len(pairs):
        return coarse
    turned = lines[pairs + 1, 3] - lines[pairs, 3]
    expected = 2 * np.pi * (coarse - mains) * SEGMENT_SECONDS
    fine = (turned - 2 * np.pi * mains * SEGMENT_SECONDS - expected + np.pi) % (2 * np.pi) - np.pi
    return coarse + float(np.median(fine)) / (2 * np.pi * SEGMENT_SECONDS)
