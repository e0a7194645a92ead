"""The edges of a gap in a sound: where its level falls by half and is back, and how it does."""

from __future__ import annotations

import numpy as np

from core.capture.faults.falls import FALL_DB, LIKE_DB
from core.capture.measures.sliding import quantile
from core.values import dataclass

FALL_SECONDS = 0.010
NEAR_SECONDS = 0.04
"""The level before and after is that of so much sound."""
LOW_WAVE_SECONDS = 0.025
"""A wave of the lowest notes."""
_SHORT_SECONDS = 0.025
"""In a shorter gap the slopes are a good part of it."""
_SMOOTH_SECONDS = 0.002


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


@dataclass(frozen=True, slots=True)
class Edges:
    """Where the level of a sound falls by half and is back, in its samples, and how."""

    start: int
    stop: int
    depth_db: float
    even: bool
    """The level inside keeps within half of how deep it fell, and comes back no higher than it stays."""
    wild: bool
    """The level inside swings by as much as it fell, as where partials beat."""


def find_edges(sound: np.ndarray, fall: int, back: int, rate: int) -> Edges | None:
    """The edges of a gap that is about from `fall` to `back`; none if it is no fast fall and return."""
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
    low = reference - min(FALL_DB, max(depth, FALL_DB - 2))
    if not (_falls(level, start, low, rate) and _falls(level[::-1], len(level) - stop, low, rate)):
        return None
    spread = quantile(core, 0.9) - quantile(core, 0.1)
    most = 1.5 if stop - start < _SHORT_SECONDS * rate else 1.15
    wild = spread > most * max(depth, FALL_DB)
    even = spread <= 0.5 * depth and not _overshoots(level[stop:], rate)
    return Edges(start, stop, depth, even, wild)


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
    dips = np.diff(loud)
    dips = dips[dips > 1]
    waves = int(dips.max()) if len(dips) > 2 else 1
    reach = int(1.1 * FALL_SECONDS * rate) + min(waves, int(LOW_WAVE_SECONDS * rate))
    return bool(level[max(0, down - reach) : down].max(initial=-200.0) >= sounds)


def _overshoots(level: np.ndarray, rate: int) -> bool:
    """Whether the sound comes back louder than it stays, as a note does that is struck."""
    attack, held = level[: int(0.03 * rate)], level[int(0.03 * rate) : int(0.1 * rate)]
    return len(held) > 0 and float(attack.max()) - quantile(held, 0.9) > 3.2
