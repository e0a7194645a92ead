"""Hiss between songs: how loud a track is where nothing is played, and how much treble that has.

Tape of one kind, at one speed and through one line-up hisses alike on all its tracks: twice the width of a
track gives 3 dB (table of figures), and all tracks of a tape are as wide. So one is held against the others.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from core.capture.measures.spectra import EDGES_HZ, NOTHING
from core.values import dataclass

_HEARD, _MIDDLE, _TREBLE = slice(4, 11), slice(4, 6), slice(8, 11)
"""Bands of 1.44 to 16 kHz, 1.44 to 3.6 kHz, and 7 to 16 kHz: below, rooms and hum are louder than tape."""
_FEWEST = 24
"""Moments, some 8 s in all, from which hiss is told."""
_WITHIN_HALVES = 4
"""Moments are quiet that come within 2 dB of the quietest twentieth, over those bands."""
_STEADY_HALVES = 6.5
"""Hiss strays so far at most, in the middle of the bands, in half decibels; noise does by 2 to 6."""
_WIDTHS = 10 * np.log10(np.diff(np.array(EDGES_HZ, float)))


@dataclass(frozen=True, slots=True)
class Hiss:
    """What one track is where nothing is played."""

    dbfs: float
    """RMS from 1.44 to 16 kHz."""
    tilt_db: float
    """7 to 16 kHz less 1.44 to 3.6 kHz, a hertz: white noise has 0."""
    moments: int


def hiss_of(halves: np.ndarray) -> Hiss | None:
    """Hiss of a track, by its moments by bands as `Spectra` keeps them; none where it never rests."""
    heard = halves[(halves[:, _HEARD] < NOTHING).all(axis=1)]
    if len(heard) < _FEWEST:
        return None
    level = _together(heard, _HEARD)
    quiet = heard[level <= np.percentile(level, 5) + _WITHIN_HALVES / 2]
    if len(quiet) < _FEWEST:
        return None
    strays = np.percentile(quiet[:, _HEARD], 90, axis=0) - np.percentile(quiet[:, _HEARD], 10, axis=0)
    if float(np.median(strays)) > _STEADY_HALVES:
        return None
    middle = np.median(quiet, axis=0)[None]
    tilt = _a_hertz(middle, _TREBLE) - _a_hertz(middle, _MIDDLE)
    return Hiss(float(_together(middle, _HEARD)[0]), tilt, len(quiet))


def _together(halves: np.ndarray, bands: slice) -> np.ndarray:
    """dBFS of some bands together, moment by moment."""
    told: np.ndarray = 10 * np.log10((10.0 ** (-halves[:, bands].astype(np.float64) / 20)).sum(axis=1))
    return told


def _a_hertz(halves: np.ndarray, bands: slice) -> float:
    width = 10 * np.log10((10 ** (_WIDTHS[bands] / 10)).sum())
    return float(_together(halves, bands)[0] - width)


def hisses_of(rows: np.ndarray, code: Collection[int]) -> dict[int, Hiss]:
    """Hiss by channel, where it can be told; `code` are channels with timecode."""
    told = ((channel, hiss_of(row)) for channel, row in enumerate(rows) if channel not in code)
    return {channel: one for channel, one in told if one is not None}
