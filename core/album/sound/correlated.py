"""Second for second how like two captures are that lie nearly together, at every lag, by their waveforms.

Both are read on one clock; the cross spectrum of every second is made partly white between 100 and 3000 Hz,
so that equalisation counts little and a pitch does not swallow the rest.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.album.sound.spectra import SIZE, USE, Bins, Floats, Never, Spectra, in_blocks
from core.values import dataclass

_APART = 7
"""A second is also held against the one so many later, which shares nothing with it."""


@dataclass(frozen=True, slots=True, eq=False)
class Correlations:
    """Part-whitened correlations: seconds by lags, from -reach to reach samples; 1 is the very same sound."""

    values: Floats
    reach: int
    chance: NDArray[np.float64]
    """Of every second: the spread of what unrelated seconds of the same captures give."""
    sounding: NDArray[np.bool_]
    """Seconds in which both captures sound."""


def correlate(one: Spectra, two: Spectra, reach: int, ask: Never = lambda: None) -> Correlations:
    """Correlations of the seconds of two rows that lie on one clock."""
    seconds = len(one.bins)
    values = np.zeros((seconds, 2 * reach + 1), np.float32)
    chance, sounding = np.zeros(seconds), one.sounding & two.sounding
    for part in in_blocks(seconds):
        ask()
        at = np.flatnonzero(sounding[part]) + part.start
        values[at] = _lags(one.bins[at], two.bins[at], reach)
        at = at[at >= _APART]
        chance[at] = _lags(one.bins[at], two.bins[at - _APART], reach).std(axis=1)
    _fill(chance, sounding)
    return Correlations(values, reach, chance, sounding)


def _lags(one: Bins, two: Bins, reach: int) -> Floats:
    import scipy.fft

    if not len(one):
        return np.zeros((0, 2 * reach + 1), np.float32)
    bins = np.zeros((len(one), SIZE // 2 + 1), np.complex64)
    np.multiply(np.conj(one), two, out=bins[:, USE])
    like = scipy.fft.irfft(bins, SIZE, axis=1)
    return np.asarray(np.concatenate((like[:, -reach:], like[:, : reach + 1]), axis=1) * np.float32(SIZE / 2))


def _fill(chance: NDArray[np.float64], sounding: NDArray[np.bool_]) -> None:
    """Seconds of which nothing was held against another take what the others gave."""
    known = chance[chance > 0]
    usual = float(np.median(known)) if len(known) else 0.05
    chance[chance <= 0] = usual
    np.maximum(chance, 0.5 * usual, out=chance)
    chance[~sounding] = usual
