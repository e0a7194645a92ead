"""The seconds of a capture as spectra in the band where waveforms are compared, partly white."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache

import numpy as np
from numpy.typing import NDArray

from core.values import dataclass

WORK_HZ = 8000
"""Samples a second at which waveforms are compared."""
LOW_HZ, HIGH_HZ = 100.0, 3000.0
WHITE = 0.6
"""How white a spectrum is made: 0 leaves it, 1 leaves no colour."""
_WINDOW = round(1.5 * WORK_HZ)
SIZE = 12288
"""Of the transforms: what goes round lies under the ends of the window, some 50 dB down and more."""
USE = slice(round(LOW_HZ * SIZE / WORK_HZ), round(HIGH_HZ * SIZE / WORK_HZ))
_BLOCK = 16
"""Seconds that are transformed together."""
Floats = NDArray[np.float32]
Bins = NDArray[np.complex64]
Never = Callable[[], None]


@dataclass(frozen=True, slots=True, eq=False)
class Spectra:
    """Seconds of one row: their spectra in the band, partly white and of unit length; and which sound."""

    bins: Bins
    sounding: NDArray[np.bool_]


def spectra(row: Floats, seconds: int, ask: Never = lambda: None) -> Spectra:
    """The spectra around second 0, 1, 2 ... of a row."""
    bins = np.empty((seconds, USE.stop - USE.start), np.complex64)
    levels = np.empty(seconds)
    for part in in_blocks(seconds):
        ask()
        bins[part], levels[part] = _whitened(_cuts(row, part.start, part.stop))
    return Spectra(bins, levels > 0.01 * _level(row))


def in_blocks(seconds: int) -> Iterator[slice]:
    """Slices of seconds that are transformed together."""
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


@cache
def _taper() -> Floats:
    return np.hanning(_WINDOW).astype(np.float32)


def _whitened(cuts: Floats) -> tuple[Bins, Floats]:
    """Spectra in the band, and the levels in it."""
    import scipy.fft

    bins = scipy.fft.rfft(cuts * _taper(), SIZE, axis=1)[:, USE]
    power = bins.real**2 + bins.imag**2
    levels = np.sqrt(power.sum(axis=1, dtype=np.float64) * 2 / SIZE / _WINDOW)
    floor = np.float32(1e-6) * power.max(axis=1, keepdims=True) + np.float32(1e-30)
    weight = np.exp(np.log(np.maximum(power, floor)) * np.float32(-WHITE / 2))
    length = np.sqrt((power * weight * weight).sum(axis=1, keepdims=True))
    weight /= np.where(length > 0, length, 1)
    return (bins * weight).astype(np.complex64), levels
