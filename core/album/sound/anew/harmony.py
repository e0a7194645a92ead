"""Which pitches sound along a capture, whatever plays them: what two takes of one song have in common.

Every half second the strength of each pitch class, three to a semitone, from spectra of a second; what is as
loud as its neighbours (drums, hiss) counts nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
WORK_HZ = 8000
CLASSES = 36
"""Pitch classes to the octave: three to a semitone: another speed is a shift."""
ROWS_A_SECOND = 2
_WINDOW = 8192
_LOWEST_HZ, _HIGHEST_HZ = 80.0, 1760.0
_NEIGHBOURS = 31
"""Bins over which the floor under a pitch is taken, about 30 Hz."""


def harmony_of(tracks: Sequence[Floats]) -> Floats:
    """Rows by classes of all tracks together, each at 8 kHz: powers are added, so opposed sides stay."""
    power: Floats | None = None
    shape = np.hanning(_WINDOW).astype(np.float32)
    hertz = np.fft.rfftfreq(_WINDOW, 1 / WORK_HZ)
    used = (hertz >= _LOWEST_HZ) & (hertz <= _HIGHEST_HZ)
    for track in tracks:
        padded = np.pad(np.asarray(track, np.float32), _WINDOW // 2)
        windows = np.lib.stride_tricks.sliding_window_view(padded, _WINDOW)[:: WORK_HZ // ROWS_A_SECOND]
        mine = np.abs(np.fft.rfft(windows * shape, axis=1)[:, used]).astype(np.float32) ** 2
        power = mine if power is None else power[: len(mine)] + mine[: len(power)]
    if power is None:
        return np.zeros((0, CLASSES), np.float32)
    return _classes(np.sqrt(power), np.asarray(hertz[used], np.float64))


def _classes(strength: Floats, hertz: NDArray[np.float64]) -> Floats:
    from scipy.ndimage import median_filter

    strength = np.maximum(strength - 2 * median_filter(strength, size=(1, _NEIGHBOURS)), 0)
    loud = strength[strength > 0]
    if not len(loud):
        return np.zeros((len(strength), CLASSES), np.float32)
    strength = np.log1p(strength / np.median(loud))
    classes = np.round(CLASSES * np.log2(hertz / 55.0)).astype(int) % CLASSES
    rows = np.zeros((len(strength), CLASSES), np.float32)
    for number in range(CLASSES):
        rows[:, number] = strength[:, classes == number].sum(axis=1)
    rows = 0.5 * rows + 0.25 * np.roll(rows, 1, axis=1) + 0.25 * np.roll(rows, -1, axis=1)
    return np.asarray(rows - rows.mean(axis=1, keepdims=True), np.float32)
