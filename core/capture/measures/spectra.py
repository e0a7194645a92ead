"""The spectrum of every track along the pass: three moments a second, in twelve bands."""

from __future__ import annotations

import numpy as np

from core.capture.measures.history import WINDOWS_A_GROUP, History
from core.capture.measures.loud.decibels import decibels
from core.capture.measures.windows import Windows

EDGES_HZ = (90, 180, 360, 720, 1440, 2400, 3600, 5000, 7000, 9500, 12500, 16000, 20000)
MOMENTS = 4
"""Moments in a group of windows."""
_FRAME = 1024
"""Samples under the window at 44.1 and 48 kHz; as much longer at higher rates."""
NOTHING = 255
"""Stands for no power at all, or for a band that the sample rate cannot hold."""


class Spectra:
    """Takes a few moments of every group; they are the same however the pass is cut into blocks."""

    def __init__(self, history: History) -> None:
        self.frame = self._frame = _FRAME * max(1, history.window // 128)
        self._taper = np.hanning(self._frame).astype(np.float32)
        # A full-scale sine gives a power of one half, 3.01 dB below full scale, as RMS does.
        self.gain = 2 * history.scale.unit**2 / float(self._taper @ self._taper) / self._frame
        self._starts = (np.arange(MOMENTS) * history.group_frames) // MOMENTS + history.window
        held = [hertz for hertz in EDGES_HZ if hertz < 0.48 * history.sample_rate]
        self._edges = [round(hertz * self._frame / history.sample_rate) for hertz in held]
        self.reach = self._edges[-1]
        """Lines that are kept of a spectrum."""
        self.spacing_frames = history.group_frames // MOMENTS
        self.spacing_seconds = self.spacing_frames / history.sample_rate
        self._channels = history.channels
        self.lines: np.ndarray | None = None
        """Channels by moments by lines of the group that was taken in last, as far as the bands reach."""
        self.power: np.ndarray | None = None
        """Their squares; times `gain` they add up to mean squares, full scale 1."""
        self._rows: list[np.ndarray] = []

    def add(self, windows: Windows) -> None:
        """Take one group in."""
        starts = self._starts[self._starts <= windows.chunk.frames - self._frame]
        self.lines = self.power = None
        if not len(starts):
            return
        lines = self._lines_at(windows.chunk.samples, starts)
        power = lines.real**2 + lines.imag**2
        self.lines, self.power = lines, power
        bands = np.add.reduceat(power, self._edges[:-1], axis=2) * self.gain
        with np.errstate(divide="ignore"):
            halves = np.where(bands > 0, np.clip(np.round(-2 * decibels(bands)), 0, 254), NOTHING)
        full = np.full((*bands.shape[:2], len(EDGES_HZ) - 1), NOTHING, np.uint8)
        full[:, :, : bands.shape[2]] = halves
        self._rows.append(full)

    def between(self, windows: Windows, part: float, rows: np.ndarray) -> np.ndarray:
        """Lines of some channels at moments by such a part of their spacing later than those of the group.

        As many as were taken in last; those that would end beyond the pass are nothing.
        """
        count = 0 if self.lines is None else self.lines.shape[1]
        starts = self._starts[:count] + round(part * self.spacing_frames)
        starts = starts[starts <= windows.chunk.frames - self._frame]
        lines = self._lines_at(windows.chunk.samples, starts, rows)
        if len(starts) == count:
            return lines
        return np.pad(lines, ((0, 0), (0, count - len(starts)), (0, 0)))

    def _lines_at(
        self, samples: np.ndarray, starts: np.ndarray, rows: np.ndarray | None = None
    ) -> np.ndarray:
        """Some channels, or all, by moments by lines, as far as the bands reach."""
        from scipy.fft import rfft

        count = len(samples) if rows is None else len(rows)
        sound = np.empty((count, len(starts), self._frame), samples.dtype)
        for moment, at in enumerate(starts.tolist()):
            stretch = samples[slice(None) if rows is None else rows, at : at + self._frame]
            np.multiply(stretch, self._taper, out=sound[:, moment])
        if not sound.size:
            return np.zeros((count, len(starts), self.reach), np.complex64)
        lines: np.ndarray = rfft(sound, axis=2, overwrite_x=True)[:, :, : self.reach]
        return lines

    def found(self) -> np.ndarray:
        """Channels by moments by bands: half decibels below full scale, 255 for nothing."""
        if not self._rows:
            return np.zeros((self._channels, 0, len(EDGES_HZ) - 1), np.uint8)
        if len(self._rows) > 1:
            self._rows = [np.concatenate(self._rows, axis=1)]
        return self._rows[0]


assert WINDOWS_A_GROUP % MOMENTS == 0
