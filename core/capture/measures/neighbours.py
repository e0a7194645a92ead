"""Neighbouring tracks that share sound: how much later the one has it than the other, along the pass."""

from __future__ import annotations

from collections import deque
from typing import NamedTuple

import numpy as np

from core.capture.measures.history import History
from core.capture.measures.spectra import MOMENTS, Spectra
from core.capture.measures.windows import PARTS, Windows

LOW_HZ, HIGH_HZ = 1000.0, 6000.0
"""Above, what azimuth turns may be more than half a wave; below, it shows less."""
BASS_HZ, BASS_TOP_HZ = 150.0, 900.0
"""Between these it shows where a few partials are all there is: lines of the short sums, which lie closer."""
_BASS_FRAME = 256
"""Short sums under the window, 85 ms; a group holds a whole number of them."""
BLOCK_SECONDS, BLOCKS = 2.5, 4
"""A block is about so long; a stretch that is told is so many blocks long and begins with each."""
CLOSER = 4
"""Of a pair that shares sound so many times as many moments are added up."""
_LOOKS, _SHARED = 0.4, 2.0
"""Part of its weight whose phase is alike, and weight, from which a pair may share sound; a line of which
half is shared weighs one."""
_OWN = 0.5
"""Part of the moments that tell something of their own: a sound that rings on tells the same twice."""
_MOST_SURE, _BASS_SURE = 10.0, 30.0
"""No line weighs more than one of which a tenth is not shared, a thirtieth in the bass; set on recordings."""


class _Sums(NamedTuple):
    """By pair and line the cross spectrum and both powers, summed, and how many moments they are of."""

    cross: np.ndarray
    one: np.ndarray
    other: np.ndarray
    moments: np.ndarray

    def added(self, more: _Sums, pairs: np.ndarray | None = None) -> None:
        """Take more of some pairs in, or of all."""
        for mine, fresh in zip(self, more, strict=True):
            mine[slice(None) if pairs is None else pairs] += fresh

    def beside(self, more: _Sums) -> _Sums:
        """With other lines behind these."""
        return _Sums(*(np.concatenate(both, axis=1) for both in zip(self, more, strict=True)))


class Neighbours:
    """Takes the cross spectrum of every two neighbours at the moments whose spectra are told anyway.

    Of a pair that shares sound it takes more moments between.
    """

    def __init__(self, history: History, spectra: Spectra) -> None:
        self._spectra, self._pairs = spectra, max(0, history.channels - 1)
        hertz = np.arange(spectra.frame // 2 + 1) * history.sample_rate / spectra.frame
        first, last = np.searchsorted(hertz, (LOW_HZ, HIGH_HZ)).tolist()
        # Of a low sample rate the spectra hold less.
        self._use = slice(int(first), min(int(last), spectra.reach))
        line = history.sample_rate * PARTS / history.window / _BASS_FRAME
        """From one line of the bass to the next."""
        self._bass = slice(round(BASS_HZ / line), min(round(BASS_TOP_HZ / line), _BASS_FRAME // 2))
        bass = np.arange(self._bass.start, self._bass.stop) * line
        self._turn = 2 * np.pi * np.concatenate((hertz[self._use], bass))
        self._surest = np.repeat((_MOST_SURE, _BASS_SURE), (len(self._turn) - len(bass), len(bass)))
        self._size = max(1, round(BLOCK_SECONDS / spectra.spacing_seconds))
        """Moments of a block."""
        self.block_seconds = self._size * spectra.spacing_seconds
        self._share = np.zeros(0, np.intp)
        """Pairs that shared sound in the newest stretch."""
        self._blocks: deque[_Sums] = deque(maxlen=BLOCKS)
        self._now: _Sums | None = None
        self._taken = 0
        """Moments of the pass so far."""
        self._told: list[np.ndarray] = []

    def add(self, windows: Windows) -> None:
        """Take one group in, after its spectra."""
        lines = self._spectra.lines
        if lines is None or not self._pairs:
            return
        looks = self._share
        rows = np.union1d(looks, looks + 1)
        first, second = np.searchsorted(rows, looks), np.searchsorted(rows, looks + 1)
        parts = [number / CLOSER for number in range(1, CLOSER)] if len(looks) else []
        closer = [self._spectra.between(windows, part, rows) for part in parts]
        bass = _bass_lines(windows.parts, self._bass)
        at, count = 0, lines.shape[1]
        while at < count:
            stop = min(count, at + self._size - self._taken % self._size)
            part = np.s_[:, at:stop, self._use]
            sums = _summed(lines[:-1][part], lines[1:][part])
            for more in closer:
                sums.added(_summed(more[first][part], more[second][part]), looks)
            frames = bass[:, at:stop].reshape(len(bass), -1, bass.shape[-1])
            self._take(sums.beside(_summed(frames[:-1], frames[1:])), stop - at)
            at = stop

    def _take(self, sums: _Sums, moments: int) -> None:
        """Moments of one block."""
        if self._now is None:
            self._now = sums
        else:
            self._now.added(sums)
        self._taken += moments
        if self._taken % self._size == 0:
            self._blocks.append(self._now)
            self._now = None
            if len(self._blocks) == BLOCKS:
                self._told.append(self._stretch())

    def _stretch(self) -> np.ndarray:
        """Pairs by what the newest stretch tells, see `found`.

        Every line weighs by how much of it is shared, s / (1 - s), s being the squared coherence without what
        chance makes of so few moments: the weights by which a delay is told best (G. C. Carter, Proceedings
        of the IEEE 75, 1987; by memory).
        """
        cross, one, other, moments = (np.sum(kind, axis=0) for kind in zip(*self._blocks, strict=True))
        count = np.maximum(_OWN * moments, 2.0)
        size = np.abs(cross) + 1e-30
        chance = 1 / count
        shared = np.clip((size**2 / (one * other + 1e-60) - chance) / (1 - chance), 0.0, 1 - 1e-9)
        weight = np.minimum(shared / (1 - shared), self._surest)
        sine, cosine = weight * cross.imag / size, weight * cross.real / size
        total = weight.sum(axis=1)
        self._share = np.flatnonzero((total >= _SHARED) & (np.abs(cosine.sum(axis=1)) >= _LOOKS * total))
        return np.stack([
            (sine * self._turn).sum(axis=1), (cosine * self._turn**2).sum(axis=1), cosine.sum(axis=1),
            total, (2 * count * weight * self._turn**2).sum(axis=1),
        ], axis=1)  # fmt: skip

    def found(self) -> np.ndarray:
        """Pairs by stretches by five sums over the lines, w being 2 pi times the frequency, by their weights:

        w times the sine of the phase between both, w squared times its cosine, the cosine, the weights, and
        one over the square of the error of the delay, which is the first over the second.
        """
        if not self._told:
            return np.zeros((self._pairs, 0, 5))
        return np.stack(self._told, axis=1)


def _summed(one: np.ndarray, other: np.ndarray) -> _Sums:
    """The sums over the moments of some lines of both channels of every pair: pairs by moments by lines."""
    cross = np.einsum("pml,pml->pl", one, other.conj()).astype(np.complex128)
    return _Sums(cross, _power(one), _power(other), np.full(cross.shape, float(one.shape[1])))


def _bass_lines(parts: np.ndarray, lines: slice) -> np.ndarray:
    """Channels by moments by frames by lines of the short sums of a group."""
    from scipy.fft import rfft

    shape = np.hanning(_BASS_FRAME + 1)[:-1].astype(parts.dtype)
    frames = parts.reshape(len(parts), MOMENTS, -1, _BASS_FRAME) * shape
    found: np.ndarray = rfft(frames, axis=3, overwrite_x=True)[..., lines]
    return found


def _power(lines: np.ndarray) -> np.ndarray:
    real, imaginary = lines.real, lines.imag
    power = np.einsum("pml,pml->pl", real, real) + np.einsum("pml,pml->pl", imaginary, imaginary)
    return np.asarray(power, float)
