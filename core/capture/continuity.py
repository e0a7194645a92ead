"""A gap in the sound of one channel, looked at sample by sample: does the same sound go on after it?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.capture.history import History

FALL_DB = 12.0
LIKE_DB = 6.0
FALL_SECONDS = 0.010
SIDE_SECONDS = 0.1
"""Sound that is looked at on either side."""
SHORT_SECONDS = 0.05
"""Partials that beat against each other leave gaps shorter than this."""
ALIKE = 0.72
"""Likeness of two spectra from which they count as the same pitches; 1 is equal."""
_SMOOTH_SECONDS = 0.002


@dataclass(frozen=True, slots=True)
class Gap:
    """A gap with like sound on both sides, in frames of the pass."""

    channel: int
    start: int
    stop: int
    seconds: float
    depth_db: float
    heard_beneath: bool
    """The same pitches can be heard in the gap, only weaker."""
    in_phase: bool
    """The partials after the gap are where those before it would have come to."""
    alike: bool
    """The sound has like pitches on both sides; otherwise one note ends and another begins."""
    tonal: bool
    """A few partials hold most of the sound; otherwise it is noise and has no phase to go on in."""


def examine(history: History, channel: int, first: int, last: int) -> Gap | None:
    """The gap between two windows of a channel, or none if the sound does not go on after it."""
    rate = history.sample_rate
    side = int(SIDE_SECONDS * rate)
    origin = first * history.window - side - history.window
    sound = history.stretch(channel, origin, last * history.window + side + history.window)
    steady = sound.astype(np.float64) * history.scale.unit
    if spectra_alike(steady[:side], steady[-side:]) < ALIKE / 2:
        start, stop = first * history.window, last * history.window
        return Gap(channel, start, stop, (stop - start) / rate, 0.0, False, False, False, True)
    edges = _edges(steady, side, len(steady) - side - history.window, rate)
    if edges is None:
        return None
    start, stop, depth = edges
    before, after = steady[max(0, start - side) : start], steady[stop : stop + side]
    length = min(len(before), len(after))
    if length < 0.6 * side:
        return None
    before, after = before[-length:], after[:length]
    alike = spectra_alike(before, after) >= ALIKE
    inside = steady[start:stop]
    tonal = _tonal(before)
    if tonal and stop - start < SHORT_SECONDS * rate and fades_by_itself(before, inside):
        return None
    return Gap(
        channel, origin + start, origin + stop, (stop - start) / rate, depth,
        alike and _heard_beneath(before, inside), alike and in_phase(before, after, stop - start),
        alike, tonal,
    )  # fmt: skip


def envelope(sound: np.ndarray, rate: int) -> np.ndarray:
    """Smoothed magnitude of the analytic signal, in decibels."""
    from scipy.fft import irfft, next_fast_len, rfft
    from scipy.ndimage import uniform_filter1d

    steady = (sound - sound.mean()).astype(np.float32)
    size = next_fast_len(len(sound), real=True)
    turned = irfft(rfft(steady, size) * np.complex64(-1j), size)[: len(sound)]
    square = steady**2 + turned**2
    smooth = uniform_filter1d(square, max(3, int(_SMOOTH_SECONDS * rate)), mode="nearest")
    level: np.ndarray = 10 * np.log10(np.maximum(smooth, 1e-20))
    return level


def _edges(sound: np.ndarray, guess_start: int, guess_stop: int, rate: int) -> tuple[int, int, float] | None:
    """Where the level falls by half and is back, and how deep it falls; none if it is no dropout."""
    level = envelope(sound, rate)
    left = float(np.median(level[: max(1, guess_start - rate // 200)]))
    right = float(np.median(level[min(len(level) - 1, guess_stop + rate // 100) :]))
    if abs(left - right) > LIKE_DB:
        return None
    middle = guess_start + int(np.argmin(level[guess_start : guess_stop + rate // 300 + 1]))
    half = min(left, right) - LIKE_DB
    above = np.flatnonzero(level >= half)
    cut = int(np.searchsorted(above, middle))
    if cut in (0, len(above)):
        return None
    start, stop = int(above[cut - 1]) + 1, int(above[cut])
    if stop - start < 8:
        return None
    deep = float(np.percentile(level[start:stop], 35))
    depth = min(left, right) - deep
    falls_to = np.flatnonzero(level[start:stop] <= left - FALL_DB)
    from_top = np.flatnonzero(level[:start] >= left - 1.0)
    if depth < FALL_DB - 1.0 or not len(falls_to) or not len(from_top):
        return None
    if start + falls_to[0] - from_top[-1] > (FALL_SECONDS + _SMOOTH_SECONDS / 2) * rate:
        return None
    return start, stop, depth


@lru_cache(maxsize=64)
def _hann(length: int) -> np.ndarray:
    return np.hanning(length).astype(np.float32)


def _spectrum(sound: np.ndarray, size: int) -> np.ndarray:
    from scipy.fft import rfft

    spectrum: np.ndarray = np.abs(rfft(sound.astype(np.float32) * _hann(len(sound)), size))
    return spectrum


def spectra_alike(one: np.ndarray, two: np.ndarray) -> float:
    """Likeness of two stretches' spectra, 0 to 1, blind to level and phase.

    Long stretches are averaged down first: pitches are told apart well enough below a few kilohertz.
    """
    from scipy.ndimage import uniform_filter1d

    length = min(len(one), len(two))
    down = max(1, length // 2000)
    use = length // down * down
    parts = [sound[:use].reshape(-1, down).mean(axis=1) for sound in (one, two)]
    size = 1 << int(np.ceil(np.log2(max(len(parts[0]), 64))))
    a, b = (uniform_filter1d(_spectrum(part, size), 3) for part in parts)
    return float(a @ b / max(np.sqrt((a @ a) * (b @ b)), 1e-30))


def _heard_beneath(before: np.ndarray, inside: np.ndarray) -> bool:
    """Whether the gap holds the pitches of the sound before it, and those stand out from noise."""
    trim = len(inside) // 8
    core = inside[trim : len(inside) - trim]
    if len(core) < 256 or not np.any(core):
        return False
    reference = before[-len(core) :]
    return spectra_alike(reference, core[: len(reference)]) > 0.6 and _tonal(core)


def _tonal(sound: np.ndarray) -> bool:
    """Whether a few partials hold most of the energy."""
    power = np.sort(_spectrum(sound, len(sound)) ** 2)[::-1]
    few = max(12, len(power) // 50)
    return bool(power[:few].sum() > 0.7 * power.sum())


def fades_by_itself(before: np.ndarray, inside: np.ndarray) -> bool:
    """Whether the partials of the sound before a gap, going on, would be as weak inside it: a beat."""
    down = max(1, len(before) // 1200)
    known = before[len(before) % down :].reshape(-1, down).mean(axis=1)
    gap = inside[: len(inside) // down * down].reshape(-1, down).mean(axis=1)
    trim = len(gap) // 4
    if len(gap) - 2 * trim < 2:
        return False
    partials = _partials(known)
    at = np.arange(-len(known), len(gap))[:, None] * partials
    waves = np.concatenate((np.cos(at), np.sin(at)), axis=1)
    recent = waves[len(known) // 2 : len(known)]
    # Sums written out: the library's own products would wake its threads for so little.
    square = np.einsum("tp,tq->pq", recent, recent)
    square[np.diag_indices_from(square)] *= 1 + 1e-6
    weights = np.linalg.solve(square, np.einsum("tp,t->p", recent, known[len(known) // 2 :]))
    expected = np.einsum("tp,p->t", waves[len(known) :], weights)
    core = slice(trim, len(gap) - trim)
    return bool(np.sum(expected[core] ** 2) < 6.0 * np.sum(gap[core] ** 2))


def _partials(sound: np.ndarray) -> np.ndarray:
    """Frequencies of the strongest partials, in radians a sample."""
    size = 4 * len(sound)
    power = 20 * np.log10(np.abs(np.fft.rfft(sound * np.hanning(len(sound)), size)) + 1e-12)
    inner = power[1:-1]
    peaks = np.flatnonzero((inner > power[:-2]) & (inner >= power[2:]) & (inner > power.max() - 40)) + 1
    peaks = peaks[np.argsort(power[peaks])[::-1][:16]]
    left, middle, right = power[peaks - 1], power[peaks], power[peaks + 1]
    shift = 0.5 * (left - right) / np.minimum(left - 2 * middle + right, -1e-9)
    found: np.ndarray = 2 * np.pi * (peaks + shift) / size
    return found


def in_phase(before: np.ndarray, after: np.ndarray, gap: int) -> bool:
    """Whether the strongest partials go on in phase across a gap of so many samples."""
    length = len(before)
    half = length // 2
    window = np.hanning(half)
    parts = [np.fft.rfft(part * window) for part in (before[:half], before[-half:], after[:half])]
    magnitude = np.abs(parts[1])
    peaks = [at for at in np.argsort(magnitude)[::-1][:24] if 1 < at < len(magnitude) - 1
             and magnitude[at] >= magnitude[at - 1] and magnitude[at] >= magnitude[at + 1]][:5]  # fmt: skip
    agree = weight = 0.0
    step, across = length - half, half + gap
    for at in peaks:
        turned = np.angle(parts[1][at] * np.conj(parts[0][at]))
        bin_turn = 2 * np.pi * at / half
        fine = (turned - bin_turn * step + np.pi) % (2 * np.pi) - np.pi
        per_sample = bin_turn + fine / step
        ahead = np.angle(parts[2][at] * np.conj(parts[1][at])) - per_sample * across
        agree += magnitude[at] * np.cos(ahead)
        weight += magnitude[at]
    return weight > 0 and agree / weight > 0.9
