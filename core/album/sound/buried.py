"""A part that is buried in a mix: looked for by its waveform at every place and speed, which takes its time.

Rises of level of one part hardly show in a mix of eight. A few seconds of the part itself do, if they are
held against every moment of the mix; what stands out is tried as features are.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from core.album.sound.correlated import WORK_HZ, Floats, Never
from core.album.sound.needles import NEEDLE_SECONDS, Found

_DOWN = 2
"""Half the rate at which waveforms are compared is enough to find a place."""
_SECONDS = 3.0
_PLACES = 3
_WIDEST, _STEP = 0.03, 0.001
_PEAKS = 10
_WHITE = 0.6


def buried_places(part: Floats, mix: Floats, ask: Never = lambda: None) -> list[Found]:
    """Where some seconds of a part (8 kHz) seem to lie in a mix (8 kHz), at speeds within 3 %."""
    import scipy.fft

    hertz = WORK_HZ / _DOWN
    here, there = _plain(part), _plain(mix)
    length = int(_SECONDS * hertz)
    if len(here) < 2 * length or len(there) < 2 * length:
        return []
    size = scipy.fft.next_fast_len(len(there) + 2 * length, real=True)
    bins = scipy.fft.rfft(there, size)
    bins /= np.maximum(_even(np.abs(bins)), 1e-9) ** np.float32(_WHITE)
    found: list[Found] = []
    rates = np.exp(np.arange(-_steps(), _steps() + 1) * _STEP)
    for place in _loud_places(here, length):
        best = np.full(len(there), -np.inf, np.float32)
        which = np.zeros(len(there), np.int16)
        for number, rate in enumerate(rates.tolist()):
            ask()
            like = _likeness(here, place, length, rate, bins, size)[: len(there)]
            better = like > best
            np.copyto(best, like, where=better)
            np.copyto(which, np.int16(number), where=better)
        found += _peaks(best, which, rates, place, hertz)
    return found


def _steps() -> int:
    return round(_WIDEST / _STEP)


def _plain(sound: Floats) -> Floats:
    """At half the rate, lows taken down: steps of means of two samples."""
    means = sound[: len(sound) // _DOWN * _DOWN].reshape(-1, _DOWN).mean(axis=1)
    return np.asarray(np.diff(means, prepend=means[:1]), np.float32)


def _even(strength: Floats) -> Floats:
    from scipy.ndimage import uniform_filter1d

    return np.asarray(uniform_filter1d(strength, max(1, len(strength) // 2000)), np.float32)


def _loud_places(sound: Floats, length: int) -> list[int]:
    """Where most sounds in each third, a little off its ends so that what follows can be tried too."""
    square = np.concatenate(([0.0], np.cumsum(sound.astype(np.float64) ** 2)))
    held = square[length:] - square[:-length]
    last = max(1, len(held) - int(NEEDLE_SECONDS * WORK_HZ / _DOWN))
    bounds = np.linspace(0, last, _PLACES + 1).astype(int)
    spans = pairwise(bounds.tolist())
    return [low + int(held[low : max(low + 1, high)].argmax()) for low, high in spans]


def _likeness(here: Floats, place: int, length: int, rate: float, bins: np.ndarray, size: int) -> Floats:
    """How like every place of the mix is, if it runs at `rate` seconds of the part to one of its own."""
    import scipy.fft

    at = place + np.arange(int(length / rate)) * rate
    cut = np.interp(at, np.arange(place, place + length + 2), here[place : place + length + 2], 0, 0)
    needle = scipy.fft.rfft((cut * np.hanning(len(cut))).astype(np.float32), size)
    needle /= np.maximum(_even(np.abs(needle)), 1e-9) ** np.float32(_WHITE)
    like = scipy.fft.irfft(np.conj(needle) * bins, size)
    return np.asarray(np.abs(like / (like.std() or 1.0)), np.float32)


def _peaks(best: Floats, which: np.ndarray, rates: np.ndarray, place: int, hertz: float) -> list[Found]:
    """The highest places, at least half a second apart."""
    out = []
    apart = int(hertz / 2)
    for _ in range(_PEAKS):
        at = int(best.argmax())
        if not np.isfinite(best[at]):
            break
        out.append(Found(place / hertz, at / hertz, 1 / float(rates[which[at]]), float(best[at])))
        best[max(0, at - apart) : at + apart + 1] = -np.inf
    return out
