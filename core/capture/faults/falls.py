"""Falls of the level, told by the energies of windows alone: which of them may be dropouts at all."""

from __future__ import annotations

import math

import numpy as np

from core.capture.measures.loud.decibels import decibels, powers
from core.values import dataclass

FALL_DB = 12.0
LIKE_DB = 6.0
SIDE, EDGE = 35, 3
"""Windows of sound on either side that must be steady, and those at the edges that belong to neither."""
PITCH = 45
"""Windows on either side whose pitches are compared."""
_PART, _NEAREST = 7, 15
_UNSTEADY_DB = 7.25
_SLACK_DB = 2.5
_STRETCH = 8
"""Windows by which the offset is told: they hold a wave of the lowest notes."""
_ALIKE = 0.2
"""Sounds less alike below 1.5 kHz are not the same: examined closely, they would have to reach 0.5."""


@dataclass(frozen=True, slots=True)
class Fall:
    """A fast fall of a channel, whatever comes after it."""

    seconds: float
    """When."""
    length: float
    """Seconds until the level is back; half a second if it is not."""
    bottom_db: float


def offset_of(energy: np.ndarray, sums: np.ndarray, window: int) -> np.ndarray:
    """Offset of every channel over a group, told mostly by its quiet stretches: loud ones hide it.

    A stretch holds a wave of the lowest notes, which would else pass for an offset themselves.
    """
    energies, totals = (one.reshape(len(one), -1, _STRETCH).sum(axis=2) for one in (energy, sums))
    size = window * _STRETCH
    swing = np.maximum(energies - totals**2 / size, 0)
    trust = 1 / (swing + 1e-3 * swing.mean(axis=1, keepdims=True) + 1e-12)
    trust[energies <= 0] = 0
    whole = np.maximum(trust.sum(axis=1, keepdims=True), 1e-30)
    offset: np.ndarray = (totals * trust).sum(axis=1, keepdims=True) / whole / size
    return offset


def lowest(levels: np.ndarray, span: int) -> float:
    """Level of the quietest stretch of so many windows."""
    span = min(span, len(levels))
    if span == 1:
        return max(-200.0, float(levels.min()))
    sums = np.zeros(len(levels) + 1)
    np.cumsum(powers(levels), out=sums[1:])
    return 10 * math.log10(max(1e-20, float((sums[span:] - sums[:-span]).min()) / span))


def lowest_beside(beside: tuple[np.ndarray, np.ndarray], spans: np.ndarray) -> np.ndarray:
    """Of every row of two sides, windows of levels, that of the quietest stretch of its span."""
    found = np.full(len(spans), np.inf)
    for side in beside:
        rising = np.cumsum(powers(side), axis=1, dtype=np.float64)
        sums, wide = np.concatenate((np.zeros((len(side), 1)), rising), axis=1), np.minimum(spans, SIDE)
        for span in np.unique(wide).tolist():
            here = wide == span
            least = (sums[here, span:] - sums[here, :-span]).min(axis=1) / span
            found[here] = np.minimum(found[here], least)
    return decibels(np.maximum(found, 1e-20))


def sides(levels: np.ndarray, channels: np.ndarray, falls: np.ndarray,
          backs: np.ndarray) -> tuple[np.ndarray, np.ndarray]:  # fmt: skip
    """Windows before some falls and after the returns, without those at the edges, one row a fall."""
    before = _gather(levels, channels, falls - EDGE - SIDE, SIDE)
    return before, _gather(levels, channels, backs + EDGE - 1, SIDE)


def _gather(rows: np.ndarray, channels: np.ndarray, first: np.ndarray, size: int) -> np.ndarray:
    found: np.ndarray = rows[channels[:, None], first[:, None] + np.arange(size)]
    return found


def steady_around(before: np.ndarray, after: np.ndarray) -> np.ndarray:
    """Whether the sound on either side of gaps is steady, and of like level on both."""
    steady = np.ones(len(before), bool)
    near = [powers(side) for side in (before, after)]
    for power in near:
        steps = decibels(power.reshape(len(power), -1, _PART).mean(axis=2))
        steady &= np.ptp(steps, axis=1) <= _UNSTEADY_DB
    left, right = (decibels(side.mean(axis=1)) for side in (near[0][:, -_NEAREST:], near[1][:, :_NEAREST]))
    steady &= np.abs(left - right) <= LIKE_DB + _SLACK_DB
    return steady


def alike_around(parts: np.ndarray, channels: np.ndarray, falls: np.ndarray, backs: np.ndarray) -> np.ndarray:
    """Whether the sounds before and after gaps can be the same, by short sums: a signal at about 3 kHz."""
    from scipy.fft import rfft

    if not len(falls):
        return np.zeros(0, bool)
    spectra = []
    for first in (falls - 1 - PITCH, backs + 1):
        sound = _gather(parts, channels, first, PITCH).reshape(len(falls), -1)
        sound = (sound - sound.mean(axis=1, keepdims=True)) * np.hanning(sound.shape[1]).astype(sound.dtype)
        magnitude = np.abs(rfft(sound, 1 << sound.shape[1].bit_length(), axis=1))
        spectra.append(magnitude[:, :-2] + magnitude[:, 1:-1] + magnitude[:, 2:])
    one, two = spectra
    lengths = [np.maximum(np.sqrt(np.vecdot(side, side)), 1e-15) for side in spectra]
    likeness = np.vecdot(one, two) / lengths[0] / lengths[1]
    alike: np.ndarray = likeness >= _ALIKE
    return alike
