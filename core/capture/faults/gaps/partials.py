"""The partials of a tonal sound about a gap: do they go on in phase, would they beat by themselves?"""

from __future__ import annotations

import cmath
import math
from functools import lru_cache

import numpy as np

from core.capture.measures.likeness import means

_MOMENTS = 128


def falls_by_itself(before: np.ndarray, inside: np.ndarray) -> float:
    """Decibels by which the partials of the sound before a gap, going on, would be louder than the gap is.

    Little or nothing: they beat against each other, and the gap is a part of the sound.
    """
    down = max(1, len(before) // 1200)
    known, gap = means(before[len(before) % down :], down), means(inside, down)
    trim = len(gap) // 4
    partials = _partials(known)
    if len(gap) - 2 * trim < 2 or not len(partials):
        return 99.0
    recent = known[len(known) // 2 :]
    core = np.arange(trim, len(gap) - trim)
    at = np.concatenate((np.arange(-len(recent), 0), core))[:, None] * partials
    waves = np.concatenate((np.cos(at), np.sin(at)), axis=1)
    square, toward = _products(waves[: len(recent)], recent)
    square[np.diag_indices_from(square)] *= 1 + 1e-6
    expected = np.einsum("tp,p->t", waves[len(recent) :], np.linalg.solve(square, toward))
    powers = [float(np.sum(sound**2)) + 1e-30 for sound in (expected, gap[core])]
    return float(10 * np.log10(powers[0] / powers[1]))


def _products(waves: np.ndarray, sound: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Products of waves with one another and a sound, in steps too small to wake the library's threads."""
    square = np.zeros((waves.shape[1], waves.shape[1]))
    for first in range(0, len(waves), _MOMENTS):
        some = waves[first : first + _MOMENTS]
        square += some.T @ some
    return square, np.einsum("tp,t->p", waves, sound)


def _partials(sound: np.ndarray) -> np.ndarray:
    """Frequencies of the strongest partials, in radians a sample."""
    from scipy.fft import rfft

    size = 4 * len(sound)
    power = 20 * np.log10(np.abs(rfft(sound * _hanning(len(sound)), size)) + 1e-12)
    inner = power[1:-1]
    peaks = np.flatnonzero((inner > power[:-2]) & (inner >= power[2:]) & (inner > power.max() - 40)) + 1
    peaks = peaks[np.argsort(power[peaks])[::-1][:16]]
    left, middle, right = power[peaks - 1], power[peaks], power[peaks + 1]
    shift = 0.5 * (left - right) / np.minimum(left - 2 * middle + right, -1e-9)
    found: np.ndarray = 2 * np.pi * (peaks + shift) / size
    return found


def phase_across(before: np.ndarray, after: np.ndarray, gap: int) -> tuple[float, float]:
    """How well the strongest partials go on in phase across a gap of so many samples, and their wander.

    The first is 1 for partials in phase; the second is in turns over the gap, by how much each partial's
    pitch differs between the two halves of the sound before it.
    """
    from scipy.fft import rfft

    length = len(before)
    half, third = length // 2, length // 3
    parts = rfft(np.stack((before[:half], before[-half:], after[:half])) * _hanning(half), axis=1)
    hop = (length - third) // 2
    shorter = np.stack([before[at : at + third] for at in (0, hop, length - third)])
    thirds = rfft(shorter * _hanning(third), half, axis=1)
    magnitude = np.abs(parts[1])
    peaks = [at for at in np.argsort(magnitude)[::-1][:24].tolist() if 1 < at < len(magnitude) - 1
             and magnitude[at] >= magnitude[at - 1] and magnitude[at] >= magnitude[at + 1]][:5]  # fmt: skip
    agree = wander = weight = 0.0
    step, across = length - half, half + gap
    for at, loud in zip(peaks, magnitude[peaks].tolist(), strict=True):
        first, last, beyond = parts[:, at].tolist()
        early, middle, late = thirds[:, at].tolist()
        bin_turn = 2 * math.pi * at / half
        per_sample = bin_turn + _turned(last * first.conjugate(), bin_turn * step) / step
        ahead = cmath.phase(beyond * last.conjugate()) - per_sample * across
        one = _turned(middle * early.conjugate(), bin_turn * hop)
        two = _turned(late * middle.conjugate(), bin_turn * hop)
        apart = abs((two - one + math.pi) % (2 * math.pi) - math.pi) / hop
        agree += loud * math.cos(ahead)
        wander += loud * apart * across / (2 * math.pi)
        weight += loud
    return (agree / weight, wander / weight) if weight > 0 else (0.0, 1.0)


def _turned(product: complex, expected: float) -> float:
    """The angle of a product of spectra less the expected one, within half a turn."""
    return (cmath.phase(product) - expected + math.pi) % (2 * math.pi) - math.pi


@lru_cache(maxsize=64)
def _hanning(length: int) -> np.ndarray:
    return np.hanning(length)
