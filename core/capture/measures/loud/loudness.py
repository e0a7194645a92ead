"""How loud the tracks are along the pass: sound or silence, the noise floor, and the strip for pictures."""

from __future__ import annotations

import numpy as np

from core.capture.measures.history import WINDOWS_A_GROUP, History
from core.capture.measures.windows import Windows
from core.findings import Strip

SPAN_SECONDS = 0.4
"""Stretch over which a track is louder than silence or not."""
SILENT_DBFS = -60.0
STRIP_COLUMNS = 2400


class Loudness:
    """Follows the RMS of 0.4 s stretches, DC taken off, one window on at a time."""

    def __init__(self, history: History, total_frames: int) -> None:
        channels = history.channels
        self._window, self._rate = history.window, history.sample_rate
        self._unit = history.scale.unit
        self._span = max(1, round(SPAN_SECONDS * history.sample_rate / history.window))
        self._energy = np.zeros((channels, self._span))
        self._sums = np.zeros((channels, self._span))
        self._windows = 0
        self._total = max(1, total_frames)
        self._silent = 10 ** (SILENT_DBFS / 20)
        self.loudest = np.zeros(channels)
        """RMS of the loudest 0.4 s, full scale 1."""
        self.quietest = np.full(channels, np.inf)
        """RMS of the quietest 0.4 s that holds no digital silence."""
        self.first = np.full(channels, -1, np.int64)
        """Window with which the first 0.4 s ends that is not silent."""
        self.last = np.full(channels, -1, np.int64)
        self.sounding = np.zeros(channels, np.int64)
        """Windows with which a stretch ends that is not silent."""
        columns = max(1, min(STRIP_COLUMNS, -(-self._total // history.window)))
        self._peaks = np.zeros((channels, columns))
        self._squares = np.zeros((channels, columns))
        self._counts = np.zeros(columns)

    def add(self, windows: Windows) -> None:
        """Take one group in."""
        count = -(-windows.chunk.frames // self._window)
        energy = windows.energy[:, :count].astype(np.float64)
        sums = windows.sums[:, :count].astype(np.float64)
        self._stretches(energy, sums, count)
        self._columns(windows, energy, count)
        self._windows += count

    def _stretches(self, energy: np.ndarray, sums: np.ndarray, count: int) -> None:
        span = self._span
        frames = span * self._window
        self._energy = np.concatenate((self._energy[:, -span:], energy), axis=1)
        self._sums = np.concatenate((self._sums[:, -span:], sums), axis=1)
        square = _moving(self._energy, span) / frames - (_moving(self._sums, span) / frames) ** 2
        square = np.maximum(square, 0)
        np.maximum(self.loudest, np.sqrt(square.max(axis=1)) * self._unit, out=self.loudest)
        self._count(square > (self._silent / self._unit) ** 2, count)
        still = self._energy <= 0
        if self._windows < span:
            square[:, : span - self._windows - 1] = np.inf
        if still.any():
            square[_moving(still.astype(float), span) > 0.5] = np.inf
        np.minimum(self.quietest, np.sqrt(square.min(axis=1)) * self._unit, out=self.quietest)

    def _count(self, sounds: np.ndarray, count: int) -> None:
        """Note where stretches end that are not silent."""
        ends = np.arange(self._windows + 1, self._windows + count + 1)
        self.sounding += np.count_nonzero(sounds, axis=1)
        any_sound = sounds.any(axis=1)
        first = ends[sounds.argmax(axis=1)]
        self.first = np.where((self.first < 0) & any_sound, first, self.first)
        last = ends[count - 1 - sounds[:, ::-1].argmax(axis=1)]
        self.last = np.where(any_sound, last, self.last)

    def _columns(self, windows: Windows, energy: np.ndarray, count: int) -> None:
        starts = windows.chunk.start + np.arange(count) * self._window
        columns = np.minimum(starts * len(self._counts) // self._total, len(self._counts) - 1)
        # Windows of a column stand together, so each column is reduced at once.
        firsts = np.flatnonzero(np.diff(columns, prepend=-1))
        which = columns[firsts]
        a_window = windows.peaks.shape[1] // WINDOWS_A_GROUP
        peaks = windows.peaks[:, : count * a_window]
        highest = np.maximum.reduceat(peaks, firsts * a_window, axis=1)
        self._peaks[:, which] = np.maximum(self._peaks[:, which], highest)
        self._squares[:, which] += np.add.reduceat(energy, firsts, axis=1)
        self._counts[which] += np.diff(firsts, append=count) * self._window

    def whole(self) -> np.ndarray:
        """Loudest stretch of a pass that may be shorter than 0.4 s."""
        return self.loudest

    def silences(self) -> list[tuple[float, float, float]]:
        """Per channel the silent seconds at head, at tail and in between."""
        step = self._window / self._rate
        out = []
        for first, last, sounding in zip(self.first, self.last, self.sounding, strict=True):
            if first < 0:
                out.append((self._windows * step, 0.0, 0.0))
                continue
            inside = max(0, int(last - first + 1 - sounding)) * step
            out.append((float((first - 1) * step), float((self._windows - last) * step), inside))
        return out

    def strip(self, tracks: tuple[int, ...], seconds: float) -> Strip:
        """The levels along the pass, a byte of half decibels a column."""
        rms = np.sqrt(self._squares / np.maximum(self._counts, 1)) * self._unit
        peaks = _half_decibels(self._peaks * self._unit)
        return Strip(seconds, tracks, len(self._counts), peaks, _half_decibels(rms))


def _moving(values: np.ndarray, span: int) -> np.ndarray:
    """Sums of `span` neighbours, at the place of the last; the first `span` places are left out."""
    total = np.cumsum(values, axis=1)
    moved: np.ndarray = total[:, span:] - total[:, :-span]
    return moved


def _half_decibels(levels: np.ndarray) -> tuple[bytes, ...]:
    with np.errstate(divide="ignore"):
        halves = np.round(-40 * np.log10(levels))
    rows = np.where(levels > 0, np.clip(halves, 0, 254), 255).astype(np.uint8)
    return tuple(row.tobytes() for row in rows)
