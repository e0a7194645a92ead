"""A gap in the sound of one channel, looked at sample by sample: does the same sound go on after it?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.capture.beneath import left_over_db
from core.capture.history import History

RATE = 24000
"""Sample rate at which a gap is looked at, about."""
FALL_DB = 12.0
LIKE_DB = 6.0
FALL_SECONDS = 0.010
SIDE_SECONDS = 0.12
"""Sound that is looked at on either side."""
NEAR_SECONDS = 0.04
"""The level before and after is that of so much sound."""
LOW_WAVE_SECONDS = 0.025
"""A wave of the lowest notes."""
SAME_DB = 6.0
"""So much more than beside a gap may be left of the sound in it, by the filter that cancels it beside it."""
ALIKE = 0.5
"""Likeness of the spectra on both sides from which it can be the same sound; 1 is equal."""
BEAT_SECONDS, BEAT_DB = 0.05, 9.0
"""Partials that beat leave gaps shorter than this, in which they would be hardly louder if they went on."""
_SMOOTH_SECONDS = 0.002


@dataclass(frozen=True, slots=True)
class Gap:
    """A gap with like sound on both sides, in frames of the pass."""

    channel: int
    start: int
    stop: int
    seconds: float
    depth_db: float
    bottom_db: float
    """Level of its quietest stretch, dB of full scale."""
    clear_db: float
    """By how much that is lower than any such stretch beside it."""
    even: bool
    """The level inside keeps within half of how deep it fell, and comes back no higher than it stays."""
    alike: float
    """Likeness of the spectra before and after, 0 to 1."""
    tonal: bool
    """A few partials hold most of the sound; otherwise it is noise and has no phase to go on in."""
    beneath: bool
    """The same sound goes on in the gap, only weaker."""
    phase: float
    """How well the partials after the gap are where those before it would have come to; 1 is in phase."""
    wander: float
    """Turns by which the partials may wander over the gap: if few, a break of phase is a note struck anew."""


def examine(history: History, channel: int, first: int, last: int, bottom_db: float,
            clear_db: float) -> Gap | None:  # fmt: skip
    """The gap between two windows of a channel; none if it is no fall and return of a like level.

    `bottom_db` is the level of its quietest stretch, and `clear_db` how far that is below its surroundings.
    """
    down = max(1, history.sample_rate // RATE)
    rate = history.sample_rate // down
    side, window = int(SIDE_SECONDS * rate), history.window // down
    origin = first * history.window - (side + window) * down
    sound = history.stretch(channel, origin, last * history.window + (side + window) * down)
    steady = means(sound, down) * history.scale.unit
    if spectra_alike(steady[:side], steady[-side:]) < ALIKE / 2:
        return None
    edges = find_edges(steady, side, len(steady) - side - window, rate)
    if edges is None:
        return None
    start, stop, depth, even = edges
    likeness = _likeness(steady, start, stop, side, rate)
    if likeness is None:
        return None
    seconds = (stop - start) / rate
    at = origin + start * down, origin + stop * down
    alike, tonal, beneath, phase, wander = likeness
    return Gap(channel, *at, seconds, depth, bottom_db, clear_db, even, alike, tonal, beneath, phase, wander)


def _likeness(sound: np.ndarray, start: int, stop: int, side: int,
              rate: int) -> tuple[float, bool, bool, float, float] | None:  # fmt: skip
    """What a gap's surroundings have in common; none if the gap belongs to the sound."""
    before, after = sound[max(0, start - side) : start], sound[stop : stop + side]
    length = min(len(before), len(after))
    if length < 0.4 * side:
        return None
    before, after, inside = before[-length:], after[:length], sound[start:stop]
    alike, tonal = spectra_alike(before, after), is_tonal(before)
    if alike < ALIKE:
        return None
    if not tonal:
        return alike, tonal, False, 0.0, 1.0
    left, beside = left_over_db(sound, start, stop, rate)
    agree, wander = phase_across(before, after, stop - start)
    beneath = beside < -6 and left - beside <= SAME_DB
    if (beneath or agree > 0.8) and len(inside) < BEAT_SECONDS * rate:
        by_itself = falls_by_itself(before, inside), falls_by_itself(after[::-1], inside[::-1])
        if min(by_itself) < BEAT_DB:
            return None
    return alike, tonal, beneath, agree, wander


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


def find_edges(sound: np.ndarray, fall: int, back: int, rate: int) -> tuple[int, int, float, bool] | None:
    """Where the level falls by half and is back, how deep, and whether evenly.

    None if it is no dropout. `fall` and `back` are about where that is.
    """
    level = envelope(sound, rate)
    clear, near = rate // 200, int(NEAR_SECONDS * rate)
    left = _mean_db(level[max(0, fall - clear - near) : max(1, fall - clear)])
    right = _mean_db(level[back + clear : back + clear + near])
    if abs(left - right) > LIKE_DB + 0.5:
        return None
    reference = min(left, right)
    middle = fall + int(np.argmin(level[fall : back + rate // 300 + 1]))
    above = np.flatnonzero(level >= reference - LIKE_DB)
    cut = int(np.searchsorted(above, middle))
    if cut in (0, len(above)):
        return None
    start, stop = int(above[cut - 1]) + 1, int(above[cut])
    if stop - start < 8:
        return None
    trim = (stop - start) // 6
    core = level[start + trim : stop - trim]
    depth = reference - _mean_db(core)
    spread = float(np.subtract(*np.percentile(core, (90, 10))))
    most = 1.5 if stop - start < BEAT_SECONDS / 2 * rate else 1.15
    if spread > most * max(depth, FALL_DB):
        return None
    low = reference - min(FALL_DB, max(depth, FALL_DB - 2))
    if not (_falls(level, start, low, rate) and _falls(level[::-1], len(level) - stop, low, rate)):
        return None
    even = spread <= 0.5 * depth and not _overshoots(level[stop:], rate)
    return start, stop, depth, even


def _mean_db(levels: np.ndarray) -> float:
    return float(10 * np.log10(np.mean(10.0 ** (levels / 10)))) if len(levels) else -200.0


def _falls(level: np.ndarray, at: int, low: float, rate: int) -> bool:
    """Whether the level comes down to `low`, 12 dB below the sound, within 10 ms of sound.

    In a low note the level comes and goes with every wave, and as much longer is allowed.
    """
    under = np.flatnonzero(level[at:] <= low)
    if not len(under):
        return False
    down, sounds = at + int(under[0]), low + FALL_DB - 3.0
    loud = np.flatnonzero(level[max(0, at - int(2 * NEAR_SECONDS * rate)) : at] >= sounds)
    waves = int(np.diff(loud).max(initial=1)) if len(loud) > 1 else 1
    reach = int(1.1 * FALL_SECONDS * rate) + min(waves, int(LOW_WAVE_SECONDS * rate))
    return bool(level[max(0, down - reach) : down].max(initial=-200.0) >= sounds)


def _overshoots(level: np.ndarray, rate: int) -> bool:
    """Whether the sound comes back louder than it stays, as a note does that is struck."""
    attack, held = level[: int(0.03 * rate)], level[int(0.03 * rate) : int(0.1 * rate)]
    return len(held) > 0 and float(attack.max() - np.percentile(held, 90)) > 3.2


@lru_cache(maxsize=64)
def _hann(length: int) -> np.ndarray:
    return np.hanning(length).astype(np.float32)


def _spectrum(sound: np.ndarray, size: int) -> np.ndarray:
    from scipy.fft import rfft

    spectrum: np.ndarray = np.abs(rfft(sound.astype(np.float32) * _hann(len(sound)), size))
    return spectrum


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
    a, b = (uniform_filter1d(_spectrum(part, size), 3) for part in parts)
    return float(a @ b / max(np.sqrt((a @ a) * (b @ b)), 1e-30))


def is_tonal(sound: np.ndarray) -> bool:
    """Whether a few partials hold most of the energy."""
    power = np.sort(_spectrum(sound, len(sound)) ** 2)[::-1]
    few = max(12, len(power) // 50)
    return bool(power[:few].sum() > 0.7 * power.sum())


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
    at = np.arange(-len(known), len(gap))[:, None] * partials
    waves = np.concatenate((np.cos(at), np.sin(at)), axis=1)
    recent = waves[len(known) // 2 : len(known)]
    # Sums written out: the library's own products would wake its threads for so little.
    square = np.einsum("tp,tq->pq", recent, recent)
    square[np.diag_indices_from(square)] *= 1 + 1e-6
    weights = np.linalg.solve(square, np.einsum("tp,t->p", recent, known[len(known) // 2 :]))
    expected = np.einsum("tp,p->t", waves[len(known) :], weights)
    core = slice(trim, len(gap) - trim)
    powers = [float(np.sum(sound[core] ** 2)) + 1e-30 for sound in (expected, gap)]
    return float(10 * np.log10(powers[0] / powers[1]))


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


def phase_across(before: np.ndarray, after: np.ndarray, gap: int) -> tuple[float, float]:
    """How well the strongest partials go on in phase across a gap of so many samples, and their wander.

    The first is 1 for partials in phase; the second is in turns over the gap, by how much each partial's
    pitch differs between the two halves of the sound before it.
    """
    length = len(before)
    half, third = length // 2, length // 3
    window, short = np.hanning(half), np.hanning(third)
    parts = [np.fft.rfft(part * window) for part in (before[:half], before[-half:], after[:half])]
    thirds = [
        np.fft.rfft(before[at : at + third] * short, half)
        for at in (0, (length - third) // 2, length - third)
    ]
    magnitude = np.abs(parts[1])
    peaks = [at for at in np.argsort(magnitude)[::-1][:24] if 1 < at < len(magnitude) - 1
             and magnitude[at] >= magnitude[at - 1] and magnitude[at] >= magnitude[at + 1]][:5]  # fmt: skip
    agree = wander = weight = 0.0
    step, across = length - half, half + gap
    hop = (length - third) // 2
    for at in peaks:
        bin_turn = 2 * np.pi * at / half
        per_sample = bin_turn + _turned(parts[1][at] * np.conj(parts[0][at]), bin_turn * step) / step
        ahead = np.angle(parts[2][at] * np.conj(parts[1][at])) - per_sample * across
        one, two = (_turned(thirds[k + 1][at] * np.conj(thirds[k][at]), bin_turn * hop) for k in (0, 1))
        apart = abs((two - one + np.pi) % (2 * np.pi) - np.pi) / hop
        agree += magnitude[at] * np.cos(ahead)
        wander += magnitude[at] * apart * across / (2 * np.pi)
        weight += magnitude[at]
    return (agree / weight, wander / weight) if weight > 0 else (0.0, 1.0)


def _turned(product: complex, expected: float) -> float:
    """The angle of a product of spectra less the expected one, within half a turn."""
    return float((np.angle(product) - expected + np.pi) % (2 * np.pi) - np.pi)
