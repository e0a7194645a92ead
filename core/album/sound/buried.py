"""A part that is buried in a mix: looked for by its waveform at every place and speed, which takes its time.

Rises of level of one part hardly show in a mix of eight. A few seconds of the part itself do, if they are
held against every moment of the mix; what stands out is tried as features are.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.album.sound.needle_lines import NEEDLE_SECONDS, Found
from core.album.sound.spectra import WORK_HZ, Floats, Never

_DOWN = 2
"""Half the rate at which waveforms are compared is enough to find a place."""
_SECONDS = 3.0
_PLACES = 3
_WIDEST, STEP = 0.03, 0.001
"""Share of speed that is looked through, and from try to try."""
_PEAKS = 10
_WHITE = 0.6
_SIZE, _NEW = 1 << 16, (1 << 16) - (1 << 14)
"""Samples of a block of the mix, and how many of its places are told; the rest is overlap for a needle."""
_AT_ONCE = 4
Bins = NDArray[np.complex64]


def buried_places(part: Floats, mix: Floats, ask: Never = lambda: None) -> list[Found]:
    """Where some seconds of a part (8 kHz) seem to lie in a mix (8 kHz), at speeds within 3 %."""
    hertz = WORK_HZ / _DOWN
    here, there = _plain(part), _plain(mix)
    length = int(_SECONDS * hertz)
    if len(here) < 2 * length or len(there) < 2 * length:
        return []
    blocks = _blocks(there)
    found: list[Found] = []
    rates = np.exp(np.arange(-_steps(), _steps() + 1) * STEP)
    for place in _loud_places(here, length):
        best = np.full((len(blocks), _NEW), -np.inf, np.float32)
        which = np.zeros((len(blocks), _NEW), np.int16)
        for number, rate in enumerate(rates.tolist()):
            ask()
            needle = _needle(here, place, length, rate)
            for low in range(0, len(blocks), _AT_ONCE):
                rows = slice(low, low + _AT_ONCE)
                _keep_better(_likeness(needle, blocks[rows]), best[rows], which[rows], number)
        found += _peaks(best.ravel()[: len(there)], which.ravel(), rates, place, hertz)
    return found


def _blocks(there: Floats) -> Bins:
    """Spectra of the mix, part by part, partly white by what it is on the whole."""
    import scipy.fft

    count = -(-len(there) // _NEW)
    padded = np.pad(there, (0, count * _NEW + _SIZE - _NEW - len(there)))
    cuts = np.lib.stride_tricks.sliding_window_view(padded, _SIZE)[::_NEW]
    bins = scipy.fft.rfft(cuts, _SIZE, axis=1)
    colour = _even(np.sqrt((bins.real**2 + bins.imag**2).mean(axis=0)))
    return np.asarray(bins / np.maximum(colour, 1e-9) ** np.float32(_WHITE), np.complex64)


def _steps() -> int:
    return round(_WIDEST / STEP)


def _plain(sound: Floats) -> Floats:
    """At half the rate, lows taken down: steps of means of two samples."""
    means = sound[: len(sound) // _DOWN * _DOWN].reshape(-1, _DOWN).mean(axis=1)
    return np.asarray(np.diff(means, prepend=means[:1]), np.float32)


def _even(strength: Floats) -> Floats:
    from scipy.ndimage import uniform_filter1d

    return np.asarray(uniform_filter1d(strength, _SIZE // 2000), np.float32)


def _loud_places(sound: Floats, length: int) -> list[int]:
    """Where most sounds in each third, a little off its ends so that what follows can be tried too."""
    square = np.concatenate(([0.0], np.cumsum(sound.astype(np.float64) ** 2)))
    held = square[length:] - square[:-length]
    last = max(1, len(held) - int(NEEDLE_SECONDS * WORK_HZ / _DOWN))
    bounds = np.linspace(0, last, _PLACES + 1).astype(int)
    spans = pairwise(bounds.tolist())
    return [low + int(held[low : max(low + 1, high)].argmax()) for low, high in spans]


def _needle(here: Floats, place: int, length: int, rate: float) -> Bins:
    """The spectrum of some seconds of the part, where `rate` seconds of the part are one of the mix."""
    import scipy.fft

    at = place + np.arange(int(length / rate)) * rate
    cut = np.interp(at, np.arange(place, place + length + 2), here[place : place + length + 2], 0, 0)
    needle = scipy.fft.rfft((cut * np.hanning(len(cut))).astype(np.float32), _SIZE)
    needle /= np.maximum(_even(np.abs(needle)), 1e-9) ** np.float32(_WHITE)
    return np.asarray(np.conj(needle) / np.sqrt((np.abs(needle) ** 2).sum()), np.complex64)


def _likeness(needle: Bins, blocks: Bins) -> Floats:
    """How like these parts of the mix are, place by place; no sign, as a side may be opposed."""
    import scipy.fft

    like = scipy.fft.irfft(blocks * needle, _SIZE, axis=1)[:, :_NEW]
    return np.asarray(np.abs(like, out=like))


def _keep_better(like: Floats, best: Floats, which: NDArray[np.int16], number: int) -> None:
    better = like > best
    np.copyto(best, like, where=better)
    np.copyto(which, np.int16(number), where=better)


def _peaks(best: Floats, which: np.ndarray, rates: np.ndarray, place: int, hertz: float) -> list[Found]:
    """The highest places, at least half a second apart."""
    out = []
    chance = float(np.sqrt(np.mean(best**2))) or 1.0
    apart = int(hertz / 2)
    for _ in range(_PEAKS):
        at = int(best.argmax())
        if not np.isfinite(best[at]):
            break
        out.append(Found(place / hertz, at / hertz, 1 / float(rates[which[at]]), float(best[at]) / chance))
        best[max(0, at - apart) : at + apart + 1] = -np.inf
    return out
