"""The faint copy of what comes one turn of the pack later, in the quiet before a track begins.

Of the spectra of quiet and sound only the phase is kept (C. Knapp and G. Carter, IEEE Transactions on
Acoustics, Speech and Signal Processing 24, 1976): hiss and chords then count no more than anything else, and
a copy stands out as the one lag at which all phases agree.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from core.values import dataclass

PLAIN_HZ = 9000
"""The least rate at which is looked."""
WINDOW_SECONDS, GUARD_SECONDS = 0.7, 0.06
"""Quiet is taken in windows of that length; what is left out before the sound begins, since nobody can tell
to a hair where it does."""
_LOW_HZ, _HIGH_HZ, _TOP_HZ = 350.0, 3600.0, 4200.0
"""The band at 15 in/s: around a wavelength of 2 pi times the tape's thickness, where print is strongest."""
_BESIDE_SECONDS = 0.08
"""Lags by which the usual agreement is told: it grows where the sound begins."""


@dataclass(frozen=True, slots=True)
class Copy:
    """What may be a copy of what comes later, in the quiet before a place."""

    lag: float
    before: float
    """Seconds from the middle of the quiet in which it is heard to where the sound begins."""
    likeness: float
    """Power with which phases agree over its usual value at lags beside it: 1 where nothing agrees."""
    channel: int
    """Row of the sound in which it is heard."""
    level_db: float
    """How much weaker than the sound itself, over the band in which print is strongest."""


def copies(
    plain: np.ndarray, hertz: float, begins: int, quiet: np.ndarray, lags: tuple[float, float],
    speed_ips: float,
) -> list[Copy]:  # fmt: skip
    """What may be copies in the quiet before frame `begins` of channels by frames, the likeliest first.

    `plain` has about `PLAIN_HZ` frames a second; `quiet` are seconds of quiet, by channel; lags in seconds.
    """
    size, stop = int(WINDOW_SECONDS * hertz), begins - int(GUARD_SECONDS * hertz)
    found: list[Copy] = []
    for number in range(int((float(quiet.max()) - GUARD_SECONDS) // WINDOW_SECONDS)):
        first = stop - (number + 1) * size
        still = np.flatnonzero(quiet >= GUARD_SECONDS + (number + 1) * WINDOW_SECONDS)
        if first < 0 or not len(still) or number * WINDOW_SECONDS > lags[1]:
            break
        before = GUARD_SECONDS + (number + 0.5) * WINDOW_SECONDS
        likely = _in_window(plain[still], first, size, hertz, lags, speed_ips, still)
        found += [replace(one, before=before) for one in likely]
    return sorted(found, key=lambda one: -one.likeness)


def _in_window(
    plain: np.ndarray, first: int, size: int, hertz: float, lags: tuple[float, float], speed_ips: float,
    names: np.ndarray,
) -> list[Copy]:  # fmt: skip
    """The likeliest of each stretch of lags in one window of quiet."""
    from scipy.fft import fft, ifft, next_fast_len
    from scipy.ndimage import uniform_filter1d

    long = next_fast_len(3 * size)
    low, high = (round(min(edge * speed_ips / 15, _TOP_HZ) * long / hertz) for edge in (_LOW_HZ, _HIGH_HZ))
    faint = fft(plain[:, first : first + size], long, axis=1)[:, low:high]
    out = []
    for lag in range(int(lags[0] * hertz), int(lags[1] * hertz), size):
        part = plain[:, first + lag : first + lag + 2 * size]
        if part.shape[1] < 2 * size:
            break
        loud = fft(part, long, axis=1)[:, low:high]
        cross = loud * np.conj(faint)
        shape = np.zeros((len(plain), long), np.complex64)
        shape[:, low:high] = cross / np.maximum(np.abs(cross), 1e-20)
        power = np.abs(ifft(shape, axis=1)[:, :size]) ** 2
        power /= np.maximum(uniform_filter1d(power, round(_BESIDE_SECONDS * hertz), axis=1), 1e-20)
        row, at = (int(one) for one in np.unravel_index(int(power.argmax()), power.shape))
        level = _level_db(faint[row], fft(part[row, at : at + size], long)[low:high])
        out.append(Copy((lag + at) / hertz, 0.0, float(power[row, at]), int(names[row]), level))
    return out


def _level_db(faint: np.ndarray, loud: np.ndarray) -> float:
    """How much weaker the copy is than that very stretch: what both share, over what the stretch holds."""
    share = abs(np.vdot(loud, faint)) / max(float((np.abs(loud) ** 2).sum()), 1e-20)
    return 20 * float(np.log10(share + 1e-9))
