"""How alike two stretches of sound are in their spectra; whether one is a tone; whether noise fell evenly."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

_BANDS_HZ = 1500
"""Noise is looked at in bands so wide: in 5 ms each still holds some independent values."""
_EQUAL_DB = 2.5
"""Bands of one noise that fell together differ by no more: about twice what chance makes of 10 ms."""
_WEAK = 0.003
"""Bands that hold less than this part of the strongest tell nothing."""


@lru_cache(maxsize=64)
def hann(length: int) -> np.ndarray:
    """A Hann window, not to be written to."""
    return np.hanning(length).astype(np.float32)


def spectrum(sound: np.ndarray, size: int) -> np.ndarray:
    """Magnitudes under a Hann window."""
    from scipy.fft import rfft

    magnitudes: np.ndarray = np.abs(rfft(sound.astype(np.float32) * hann(len(sound)), size))
    return magnitudes


def means(sound: np.ndarray, down: int) -> np.ndarray:
    """Means of so many neighbours: sums of every `down`-th sample, which is far quicker than short rows."""
    use = len(sound) // down * down
    total: np.ndarray = sound[0:use:down].astype(np.float64)
    for first in range(1, down):
        total += sound[first:use:down]
    return total / down


def spectra_alike(one: np.ndarray, two: np.ndarray) -> float:
    """Likeness of two stretches' spectra, 0 to 1, blind to level and phase.

    Long stretches are averaged down first: pitches are told apart well enough below a few kilohertz.
    """
    from scipy.ndimage import uniform_filter1d

    length = min(len(one), len(two))
    down = max(1, length // 2000)
    parts = [means(sound[:length], down) for sound in (one, two)]
    size = 1 << int(np.ceil(np.log2(max(len(parts[0]), 64))))
    a, b = (uniform_filter1d(spectrum(part, size), 3) for part in parts)
    return float(a @ b / max(np.sqrt((a @ a) * (b @ b)), 1e-30))


def is_tonal(sound: np.ndarray) -> bool:
    """Whether a few partials hold most of the energy."""
    power = np.sort(spectrum(sound, len(sound)) ** 2)[::-1]
    few = max(12, len(power) // 50)
    return bool(power[:few].sum() > 0.7 * power.sum())


def equal_fall(before: np.ndarray, inside: np.ndarray, after: np.ndarray, rate: int) -> bool:
    """Whether a noise falls by as much in every band that holds some of it.

    Lost contact weakens all alike; in a rest the noise of the tape is left, which has a colour of its own.
    """
    trim = len(inside) // 5
    core = inside[trim : len(inside) - trim]
    if len(core) < rate // 400:
        return False
    sides = 0.5 * (_bands(before, rate) + _bands(after, rate))
    strong = sides > _WEAK * sides.max()
    if np.count_nonzero(strong) < 4:
        return False
    fell = 10 * np.log10(sides[strong] / np.maximum(_bands(core, rate)[strong], 1e-22))
    return bool(np.std(fell) < _EQUAL_DB)


def _bands(sound: np.ndarray, rate: int) -> np.ndarray:
    """Power a hertz of a stretch, band by band."""
    size = 1 << int(np.ceil(np.log2(len(sound))))
    power = spectrum(sound, size) ** 2 / len(sound)
    edges = np.arange(0, rate // 2 - _BANDS_HZ + 1, _BANDS_HZ) * size // rate
    bands: np.ndarray = np.add.reduceat(power, edges) / np.diff(edges, append=len(power))
    return bands
