"""Neighbouring tracks that share sound: how much later the one has it than the other, along the pass."""

from __future__ import annotations

import numpy as np

from core.capture.measures.history import History
from core.capture.measures.spectra import Spectra
from core.capture.measures.windows import Windows

LOW_HZ, HIGH_HZ = 1000.0, 6000.0
"""Above, what azimuth turns may be more than half a wave; below, it hardly shows."""
_WHITE = 0.6
"""How white the cross spectrum is made: a pitch does not swallow the rest."""

CLOSER = 4
"""Of a pair that shares sound so many times as many moments are added up."""
_LOOKS = 0.4
"""Real part of its cross spectrum over the magnitude, from which a pair may share sound."""


class Neighbours:
    """Takes the cross spectrum of every two neighbours at the moments whose spectra are told anyway.

    Of a pair that shares sound it takes more moments between.
    """

    def __init__(self, history: History, spectra: Spectra) -> None:
        self._spectra, self._channels = spectra, history.channels
        hertz = np.arange(spectra.frame // 2 + 1) * history.sample_rate / spectra.frame
        first, last = np.searchsorted(hertz, (LOW_HZ, HIGH_HZ)).tolist()
        # Of a low sample rate the spectra hold less.
        self._use = slice(int(first), min(int(last), spectra.reach))
        self._turn = (2 * np.pi * hertz[self._use]).astype(np.float32)
        self._shared = np.zeros((max(0, history.channels - 1), 2))
        """By pair the real part and the magnitude of all cross spectra so far."""
        self._rows: list[np.ndarray] = []

    def add(self, windows: Windows) -> None:
        """Take one group in, after its spectra."""
        lines = self._spectra.lines
        if lines is None or self._channels < 2:
            return
        sums = self._sums(lines[:-1], lines[1:])
        self._shared += sums[:, :, 2:].sum(axis=1, dtype=np.float64)
        pairs = np.flatnonzero(np.abs(self._shared[:, 0]) >= _LOOKS * self._shared[:, 1])
        if len(pairs):
            rows = np.union1d(pairs, pairs + 1)
            first, second = np.searchsorted(rows, pairs), np.searchsorted(rows, pairs + 1)
            for number in range(1, CLOSER):
                more = self._spectra.between(windows, number / CLOSER, rows)
                sums[pairs] += self._sums(more[first], more[second])
        self._rows.append(sums)

    def _sums(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """Pairs by moments by the four sums."""
        cross = one[:, :, self._use] * np.conj(other[:, :, self._use])
        strength = np.abs(cross)
        white = np.maximum(strength, 1e-6 * strength.max(axis=2, keepdims=True) + 1e-30) ** -_WHITE
        cross, strength = cross * white, strength * white
        return np.stack([
            (cross.imag * self._turn).sum(axis=2), (cross.real * self._turn**2).sum(axis=2),
            cross.real.sum(axis=2), strength.sum(axis=2),
        ], axis=2)  # fmt: skip

    def found(self) -> np.ndarray:
        """Pairs by moments by four sums of the cross spectrum S, w being 2 pi times the frequency:

        w times its imaginary part, w squared times its real part, its real part, its magnitude.
        """
        if not self._rows:
            return np.zeros((max(0, self._channels - 1), 0, 4), np.float32)
        return np.concatenate(self._rows, axis=1)
