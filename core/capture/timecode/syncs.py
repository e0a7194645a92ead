"""Finds sync words under noise: the sound is held against the shape of a sync word at several speeds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.capture.timecode.word import BITS, SYNC
from core.values import dataclass

LIKENESS = 0.45
"""Correlation with a sync word from which a place is looked at; white noise stays below 0.4."""

SPEED_STEP = 0.03
"""Speeds tried lie this far apart: half of it moves the ends of 16 bits by an eighth of a bit."""

SLOWEST_BIT, FASTEST_BIT = 1 / (24 * 0.89 * BITS), 1 / (30 * 1.11 * BITS)
"""Length of a bit in seconds at 24 frames a second played 11 % slow, and at 30 played 11 % fast."""

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Syncs:
    """Sync words of one stretch of sound, by place."""

    place: NDArray[np.float64]
    """Where the first-played bit of the sync word begins, in samples of the stretch."""
    bit: NDArray[np.float64]
    """Length of a bit that fitted best, in samples; good to some 2 %."""
    direction: NDArray[np.int8]
    """1 where the word runs forward, -1 where it runs backwards."""


def _corners() -> NDArray[np.float64]:
    """Level changes inside the sync word and its two ends, in bits, the first level high."""
    inner, place = [0.0], 0.0
    for bit in SYNC:
        if bit:
            inner.append(place + 0.5)
        place += 1.0
        inner.append(place)
    return np.array(inner)


_FORWARD = _corners()
_REVERSE = (len(SYNC) - _FORWARD)[::-1]


def bit_lengths(shortest: float, longest: float) -> NDArray[np.float64]:
    """Bit lengths to try between two, each SPEED_STEP from the next."""
    steps = max(1, int(np.ceil(np.log(longest / shortest) / SPEED_STEP)))
    return np.geomspace(shortest, longest, steps + 1)


def _likeness(total: Floats, corners: NDArray[np.float64], bit: float, room: int) -> Floats:
    """Sum of the sound under the sync word's shape at every place, from the sound's running sum."""
    at = np.round(corners * bit).astype(np.int64)
    shape = np.zeros(room, np.float32)
    for order, corner in enumerate(at):
        part = total[corner : corner + room]
        if order in (0, len(at) - 1):
            part = part * np.float32(0.5)
        if order % 2:
            shape += part
        else:
            shape -= part
    return shape


def find_syncs(sound: Floats, bits: NDArray[np.float64], directions: tuple[int, ...] = (1, -1)) -> Syncs:
    """Sync words in a stretch of sound, tried with each of the bit lengths (in samples)."""
    coarse = max(1, int(bits.min() / 8))
    longest = float(bits.max()) / coarse
    pad = int(3 * longest) + 1
    whole = len(sound) // coarse
    slow = np.zeros(whole + 2 * pad, np.float32)
    slow[pad : pad + whole] = sound[: whole * coarse].reshape(whole, coarse).mean(axis=1)
    level = _without_slow_parts(slow, int(4 * longest))
    total = np.concatenate([[0], np.cumsum(level, dtype=np.float64)]).astype(np.float32)
    energy = np.concatenate([[0], np.cumsum(level * level, dtype=np.float64)])
    room = len(level) - int(np.ceil(len(SYNC) * longest)) - 1
    if room <= 0:
        return Syncs(np.empty(0), np.empty(0), np.empty(0, np.int8))
    best = np.zeros(room, np.float32)
    choice = np.zeros(room, np.int16)
    for number, bit in enumerate(bits / coarse):
        length = round(len(SYNC) * bit)
        held = energy[length : length + room] - energy[:room]
        scale = (2 / np.sqrt(np.maximum(held, 1e-20) * length)).astype(np.float32)
        for direction in directions:
            like = np.abs(_likeness(total, _FORWARD if direction > 0 else _REVERSE, bit, room)) * scale
            better = like > best
            np.copyto(best, like, where=better)
            np.copyto(choice, direction * (number + 1), where=better)
    peak = _peaks(best, int(0.85 * BITS * bits.min() / coarse))
    chosen = choice[peak]
    place = (peak + _offset(best, peak) - pad + 0.5) * coarse - 0.5 - (coarse - 1) / 2
    return Syncs(place, bits[np.abs(chosen) - 1], np.sign(chosen).astype(np.int8))


def _without_slow_parts(sound: Floats, width: int) -> Floats:
    """The sound less its running mean: takes out offset and hum."""
    total = np.concatenate([[0], np.cumsum(sound, dtype=np.float64)])
    at = np.arange(len(sound))
    low, high = np.maximum(at - width // 2, 0), np.minimum(at + width // 2 + 1, len(sound))
    level: Floats = (sound - (total[high] - total[low]) / (high - low)).astype(np.float32)
    return level


def _peaks(likeness: Floats, apart: int) -> NDArray[np.int64]:
    """Places that are the highest within `apart` to either side together and above LIKENESS."""
    from scipy.ndimage import maximum_filter1d

    highest = maximum_filter1d(likeness, 2 * apart + 1)
    return np.flatnonzero((likeness >= highest) & (likeness > LIKENESS))


def _offset(likeness: Floats, peak: NDArray[np.int64]) -> NDArray[np.float64]:
    """How far beside each peak the top of a parabola through it and its neighbours lies."""
    inner = np.clip(peak, 1, max(len(likeness) - 2, 1))
    left, mid, right = (likeness[inner + shift].astype(np.float64) for shift in (-1, 0, 1))
    bend = left - 2 * mid + right
    return np.where(bend < 0, np.clip((left - right) / (2 * np.where(bend < 0, bend, -1)), -0.5, 0.5), 0)
