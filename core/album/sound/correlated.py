"""Second for second how like two captures are that lie nearly together, at every lag, by their waveforms.

Both are read on one clock; the cross spectrum of every second is made partly white between 100 and 3000 Hz,
so that equalisation counts little and a pitch does not swallow the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

WORK_HZ = 8000
"""Samples a second at which waveforms are compared."""
LOW_HZ, HIGH_HZ = 100.0, 3000.0
WHITE = 0.6
"""How white a spectrum is made: 0 leaves it, 1 leaves no colour."""
_WINDOW = round(1.5 * WORK_HZ)
_SIZE = 12288
"""Of the transforms: what goes round lies under the ends of the window, some 50 dB down and more."""
_USE = slice(round(LOW_HZ * _SIZE / WORK_HZ), round(HIGH_HZ * _SIZE / WORK_HZ))
_APART = 7
"""A second is also held against the one so many later, which shares nothing with it."""
_BLOCK = 16
"""Seconds that are transformed together."""

Floats = NDArray[np.float32]
Bins = NDArray[np.complex64]
Never = Callable[[], None]


@dataclass(frozen=True, slots=True, eq=False)
class Correlations:
    """Part-whitened correlations: seconds by lags, from -reach to reach samples; 1 is the very same sound."""

    values: Floats
    reach: int
    chance: NDArray[np.float64]
    """Of every second: the spread of what unrelated seconds of the same captures give."""
    sounding: NDArray[np.bool_]
    """Seconds in which both captures sound."""


@dataclass(frozen=True, slots=True, eq=False)
class Spectra:
    """Seconds of one row: their spectra in the band, partly white and of unit length; and which sound."""

    bins: Bins
    sounding: NDArray[np.bool_]


def spectra(row: Floats, seconds: int, ask: Never = lambda: None) -> Spectra:
    """The spectra around second 0, 1, 2 ... of a row."""
    bins = np.empty((seconds, _USE.stop - _USE.start), np.complex64)
    levels = np.empty(seconds)
    for part in _blocks(seconds):
        ask()
        bins[part], levels[part] = _whitened(_cuts(row, part.start, part.stop))
    return Spectra(bins, levels > 0.01 * _level(row))


def correlate(one: Spectra, two: Spectra, reach: int, ask: Never = lambda: None) -> Correlations:
    """Correlations of the seconds of two rows that lie on one clock."""
    seconds = len(one.bins)
    values = np.zeros((seconds, 2 * reach + 1), np.float32)
    chance, sounding = np.zeros(seconds), one.sounding & two.sounding
    for part in _blocks(seconds):
        ask()
        at = np.flatnonzero(sounding[part]) + part.start
        values[at] = _lags(one.bins[at], two.bins[at], reach)
        at = at[at >= _APART]
        chance[at] = _lags(one.bins[at], two.bins[at - _APART], reach).std(axis=1)
    _fill(chance, sounding)
    return Correlations(values, reach, chance, sounding)


def _blocks(seconds: int) -> Iterator[slice]:
    return (slice(low, min(seconds, low + _BLOCK)) for low in range(0, seconds, _BLOCK))


def _cuts(row: Floats, first: int, last: int) -> Floats:
    """The windows around these seconds, one a row; silence beyond the ends."""
    begin = first * WORK_HZ - (_WINDOW - WORK_HZ) // 2
    end = begin + (last - first - 1) * WORK_HZ + _WINDOW
    before = max(0, -begin)
    held = row[max(0, begin) : end]
    held = np.pad(held, (before, end - begin - before - len(held)))
    return np.lib.stride_tricks.sliding_window_view(held, _WINDOW)[::WORK_HZ]


def _level(row: Floats) -> float:
    """The level of the louder seconds."""
    whole = row[: len(row) // WORK_HZ * WORK_HZ].reshape(-1, WORK_HZ)
    if not len(whole):
        return 0.0
    return float(np.percentile(np.sqrt(np.einsum("sn,sn->s", whole, whole) / WORK_HZ), 80))


def _whitened(cuts: Floats) -> tuple[Bins, Floats]:
    """Spectra in the band, and the levels in it."""
    import scipy.fft

    bins = scipy.fft.rfft(cuts * np.hanning(_WINDOW).astype(np.float32), _SIZE, axis=1)[:, _USE]
    power = bins.real**2 + bins.imag**2
    levels = np.sqrt(power.sum(axis=1, dtype=np.float64) * 2 / _SIZE / _WINDOW)
    floor = np.float32(1e-6) * power.max(axis=1, keepdims=True) + np.float32(1e-30)
    weight = np.exp(np.log(np.maximum(power, floor)) * np.float32(-WHITE / 2))
    length = np.sqrt((power * weight * weight).sum(axis=1, keepdims=True))
    weight /= np.where(length > 0, length, 1)
    return (bins * weight).astype(np.complex64), levels


def _lags(one: Bins, two: Bins, reach: int) -> Floats:
    import scipy.fft

    if not len(one):
        return np.zeros((0, 2 * reach + 1), np.float32)
    bins = np.zeros((len(one), _SIZE // 2 + 1), np.complex64)
    np.multiply(np.conj(one), two, out=bins[:, _USE])
    like = scipy.fft.irfft(bins, _SIZE, axis=1)
    return np.asarray(
        np.concatenate((like[:, -reach:], like[:, : reach + 1]), axis=1) * np.float32(_SIZE / 2)
    )


def _fill(chance: NDArray[np.float64], sounding: NDArray[np.bool_]) -> None:
    """Seconds of which nothing was held against another take what the others gave."""
    known = chance[chance > 0]
    usual = float(np.median(known)) if len(known) else 0.05
    chance[chance <= 0] = usual
    np.maximum(chance, 0.5 * usual, out=chance)
    chance[~sounding] = usual
