"""Tracks that carry the same: copies of each other, in phase or opposed, at any gain, within a millisecond.

All pairs are held against one another on moments that are spread over the pass, the same for all
tracks; so the cost grows with the number of moments and not with the length of the pass.
"""

from __future__ import annotations

import numpy as np

from core.capture.measures.history import History
from core.capture.measures.windows import Windows
from core.values import dataclass

ALIKE = 0.99
WITHIN_SECONDS = 0.001
MOMENTS = 48
"""Half of them evenly spread, half where a track is loud, each track in its turn."""
_NEARLY = 0.9
"""Likeness at whole samples from which it is looked for between them."""
_QUIETEST = 10 ** (-75 / 20)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two channels that carry the same."""

    channel: int
    other: int
    correlation: float
    """Signed; negative is opposed."""
    lag_seconds: float
    """By how much the second is later."""


class Pairs:
    """Keeps the moments while the pass goes by and compares at its end."""

    def __init__(self, history: History, total_frames: int) -> None:
        self._history = history
        self._frames = min(2048, history.group_frames)
        chunks = max(1, -(-total_frames // history.group_frames))
        cells = min(MOMENTS, 2 * chunks)
        self._cell_chunks = chunks / max(1, cells // 2)
        self._even: dict[int, np.ndarray] = {}
        self._loud: dict[int, tuple[float, np.ndarray]] = {}

    def add(self, windows: Windows) -> None:
        """Keep this group's moment if it is the first of its cell, or the loudest of its track's turn."""
        chunk = windows.chunk
        if chunk.frames < self._frames:
            if not self._even:
                self._even[0] = chunk.samples[:, : self._frames].astype(np.float32)
            return
        cell = int(chunk.start // self._history.group_frames / self._cell_chunks)
        middle = (len(chunk.samples[0]) - self._frames) // 2
        moment = chunk.samples[:, middle : middle + self._frames]
        if cell not in self._even:
            self._even[cell] = moment.astype(np.float32)
        turn = cell % self._history.channels
        loud = float(windows.energy[turn].sum())
        if loud > self._loud.get(cell, (0.0, None))[0]:
            self._loud[cell] = loud, moment.astype(np.float32)

    def found(self) -> list[Pair]:
        """All pairs that carry the same."""
        if self._history.channels < 2 or not self._even:
            return []
        even = np.stack([self._even[cell] for cell in sorted(self._even)], axis=1)
        extra = [sound for _, sound in self._loud.values()]
        every = np.concatenate((even, np.stack(extra, axis=1)), axis=1) if extra else even
        moments = every * np.float32(self._history.scale.unit)
        moments -= moments.mean(axis=2, keepdims=True)
        return self._alike(moments)

    def _alike(self, moments: np.ndarray) -> list[Pair]:
        from scipy.fft import irfft, rfft

        frames = moments.shape[2]
        lags = max(1, int(WITHIN_SECONDS * self._history.sample_rate))
        size = 1 << int(np.ceil(np.log2(frames + lags)))
        energies = np.einsum("cmf,cmf->cm", moments, moments, dtype=np.float64)
        energy, roots = energies.sum(axis=1), np.sqrt(energies)
        loud = np.sqrt(energy / moments[0].size) > _QUIETEST
        # No product of two sounds is larger than that of their energies, moment by moment.
        could = roots @ roots.T >= _NEARLY * np.sqrt(np.outer(energy, energy))
        spectra: dict[int, np.ndarray] = {}
        found = []
        for one in np.flatnonzero(loud).tolist():
            for two in (np.flatnonzero(loud[one + 1 :] & could[one, one + 1 :]) + one + 1).tolist():
                if not 1e-8 < energy[one] / energy[two] < 1e8:
                    continue
                for row in {one, two} - spectra.keys():
                    spectra[row] = rfft(moments[row], size, axis=1)
                product = irfft((np.conj(spectra[one]) * spectra[two]).sum(axis=0), size)
                near = np.concatenate((product[-lags:], product[: lags + 1]))
                best = int(np.argmax(np.abs(near))) - lags
                if abs(near[best + lags]) < _NEARLY * np.sqrt(energy[one] * energy[two]):
                    continue
                pair = self._measured(moments, int(one), int(two), best)
                if pair:
                    found.append(pair)
        return found

    def _measured(self, moments: np.ndarray, one: int, two: int, lag: int) -> Pair | None:
        """The pair with its exact correlation at the best lag, and between samples if that is better."""
        frames = moments.shape[2]
        best = 0.0
        at = 0.0
        for shift in (lag - 1, lag, lag + 1):
            a = moments[one, :, max(0, -shift) : frames - max(0, shift)]
            b = moments[two, :, max(0, shift) : frames - max(0, -shift)]
            likeness = _correlation(a, b)
            if abs(likeness) > abs(best):
                best, at = likeness, float(shift)
        if _NEARLY <= abs(best) < ALIKE:
            best, at = self._between(moments[one], moments[two], at, best)
        if abs(best) < ALIKE or abs(at) > WITHIN_SECONDS * self._history.sample_rate + 0.5:
            return None
        return Pair(one, two, best, at / self._history.sample_rate)

    @staticmethod
    def _between(a: np.ndarray, b: np.ndarray, lag: float, best: float) -> tuple[float, float]:
        from scipy.fft import irfft, rfft

        turn = 2j * np.pi * np.arange(a.shape[1] // 2 + 1) / a.shape[1]
        spectrum = rfft(b, axis=1)
        trim = int(abs(lag)) + 64
        at = lag
        for part in np.linspace(-0.75, 0.75, 13):
            moved = irfft(spectrum * np.exp(turn * (lag + part)), a.shape[1], axis=1)
            likeness = _correlation(a[:, trim:-trim], moved[:, trim:-trim])
            if abs(likeness) > abs(best):
                best, at = likeness, lag + float(part)
        return best, at


def _correlation(a: np.ndarray, b: np.ndarray) -> float:
    product = float(np.vdot(a, b))
    energy = float(np.vdot(a, a)) * float(np.vdot(b, b))
    return float(product / np.sqrt(energy)) if energy > 0 else 0.0
