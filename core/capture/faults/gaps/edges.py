"""The edges of a gap in a sound: where its level falls by half and is back, and how it does."""

from __future__ import annotations

import math
from collections.abc import Callable

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
_STRUCK = 10**0.32
"""A note that is struck begins so many times as strong as it goes on: 3.2 dB."""


def envelope(sound: np.ndarray, rate: int) -> np.ndarray:
    """Smoothed square of the magnitude of the analytic signal."""
    from scipy.fft import irfft, next_fast_len, rfft
    from scipy.ndimage import uniform_filter1d

    steady = (sound - sound.mean()).astype(np.float32)
    size = next_fast_len(len(sound), real=True)
    lines = rfft(steady, size)
    lines *= np.complex64(-1j)
    turned = irfft(lines, size, overwrite_x=True)[: len(sound)]
    turned *= turned
    steady *= steady
    steady += turned
    smooth: np.ndarray = uniform_filter1d(steady, max(3, int(_SMOOTH_SECONDS * rate)), mode="nearest")
    np.maximum(smooth, 1e-20, out=smooth)
    return smooth


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


def find_edges(
    sound: np.ndarray, fall: int, back: int, rate: int, fits: Callable[[float, float], bool]
) -> Edges | None:
    """The edges of a gap that is about from `fall` to `back`; none if it is no fast fall and return.

    `fits` is asked whether it can be one, by its seconds and how many dB deep it is.
    """
    power = envelope(sound, rate)
    clear, near = rate // 200, int(NEAR_SECONDS * rate)
    left = _mean_db(power[max(0, fall - clear - near) : max(1, fall - clear)])
    right = _mean_db(power[back + clear : back + clear + near])
    if abs(left - right) > LIKE_DB + 0.5:
        return None
    reference = min(left, right)
    middle = fall + int(np.argmin(power[fall : back + rate // 300 + 1]))
    above = power >= _power(reference - LIKE_DB)
    before, after = above[:middle][::-1], above[middle:]
    start, stop = middle - int(before.argmax()), middle + int(after.argmax())
    if not (before.any() and after.any()) or stop - start < 8:
        return None
    trim = (stop - start) // 6
    core = power[start + trim : stop - trim]
    depth = reference - _mean_db(core)
    if not fits((stop - start) / rate, depth):
        return None
    low = reference - min(FALL_DB, max(depth, FALL_DB - 2))
    if not (_falls(power, start, low, rate) and _falls(power[::-1], len(power) - stop, low, rate)):
        return None
    spread = _db(quantile(core, 0.9) / quantile(core, 0.1))
    most = 1.5 if stop - start < _SHORT_SECONDS * rate else 1.15
    wild = spread > most * max(depth, FALL_DB)
    even = spread <= 0.5 * depth and not _overshoots(power[stop:], rate)
    return Edges(start, stop, depth, even, wild)


def _db(power: float) -> float:
    return 10 * math.log10(power)


def _power(level: float) -> float:
    return float(10.0 ** (level / 10))


def _mean_db(power: np.ndarray) -> float:
    return _db(float(np.mean(power))) if len(power) else -200.0


def _falls(power: np.ndarray, at: int, low: float, rate: int) -> bool:
    """Whether the level comes down to `low`, 12 dB below the sound, within 10 ms of sound.

    In a low note the level comes and goes with every wave, and as much longer is allowed.
    """
    under = power[at:] <= _power(low)
    if not under.any():
        return False
    down, sounds = at + int(under.argmax()), _power(low + FALL_DB - 3.0)
    loud = np.flatnonzero(power[max(0, at - int(2 * NEAR_SECONDS * rate)) : at] >= sounds)
    dips = np.diff(loud)
    dips = dips[dips > 1]
    waves = int(dips.max()) if len(dips) > 2 else 1
    reach = int(1.1 * FALL_SECONDS * rate) + min(waves, int(LOW_WAVE_SECONDS * rate))
    return bool(power[max(0, down - reach) : down].max(initial=0.0) >= sounds)


def _overshoots(power: np.ndarray, rate: int) -> bool:
    """Whether the sound comes back louder than it stays, as a note does that is struck."""
    attack, held = power[: int(0.03 * rate)], power[int(0.03 * rate) : int(0.1 * rate)]
    return len(held) > 0 and float(attack.max()) > quantile(held, 0.9) * _STRUCK
