"""The same music before and after a stop of the tape: what level and treble of every track changed by."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from core.capture.faults.spacing import loss_a_micrometre
from core.capture.files.excerpt import Excerpts, Sound
from core.capture.measures.spectra import EDGES_HZ
from core.values import dataclass

MOMENTS, MOMENT_SECONDS = 24, 0.2
_FRAME_SECONDS = 0.02
_LEVEL, _TREBLE = slice(2, 5), slice(5, None)
_QUIET_DBFS = -80.0
"""A band that is weaker on either side tells nothing."""
_FEWEST = 4
"""Moments from which a band of a track tells anything."""


@dataclass(frozen=True, slots=True)
class Compared:
    """What changed over a stop, by channel; not a number where a channel tells nothing."""

    level_db: np.ndarray
    """After less before, about 1 kHz."""
    micrometres: np.ndarray
    """Spacing that went; positive where the treble is back."""
    errors: np.ndarray
    """Standard errors of the micrometres."""


def compare(before: Excerpts, after: Excerpts, overlap: int, speed_ips: float) -> Compared:
    """Both pieces over the `overlap` frames that they share; a few seconds of it are read."""
    rate, size = before.sample_rate, round(MOMENT_SECONDS * before.sample_rate)
    starts = np.unique(np.linspace(0, max(0, overlap - size), MOMENTS).astype(int))
    first = before.piece.frames - overlap
    changes = []
    for at in starts.tolist():
        old = _bands(before.read(first + at, first + at + size), rate)
        changes.append(_bands(after.read(at, at + size), rate, old))
    return _told(np.stack(changes), speed_ips)


def _bands(sound: Sound, rate: int, less: np.ndarray | None = None) -> np.ndarray:
    """Channels by bands in dB of full scale; less others, and no number where either is too weak."""
    from scipy.signal import welch

    hertz, power = welch(sound, rate, nperseg=min(sound.shape[1], int(_FRAME_SECONDS * rate)), axis=1)
    sums = [power[:, (hertz >= low) & (hertz < high)].sum(axis=1) * hertz[1]
            for low, high in pairwise(EDGES_HZ)]  # fmt: skip
    levels: np.ndarray = 10 * np.log10(np.stack(sums, axis=1) + 1e-14)
    if less is None:
        return levels
    return np.where((levels > _QUIET_DBFS) & (less > _QUIET_DBFS), levels - less, np.nan)


def _told(changes: np.ndarray, speed_ips: float) -> Compared:
    """From moments by channels by bands of differences."""
    heard = np.isfinite(changes).sum(axis=0)
    with np.errstate(all="ignore"):
        bands = np.where(heard >= _FEWEST, _median(changes), np.nan)
        sway = 1.4826 * _median(np.abs(changes - bands)) / np.sqrt(np.maximum(heard, 1))
    level = _mean(bands[:, _LEVEL])
    loss = loss_a_micrometre(speed_ips)
    rise, sways = bands[:, _TREBLE] - level[:, None], np.maximum(sway[:, _TREBLE], 0.05)
    weight = np.where(np.isfinite(rise), 1 / sways**2, 0.0)
    square = (weight * loss**2).sum(axis=1)
    told = (weight * loss * np.nan_to_num(rise)).sum(axis=1) / np.maximum(square, 1e-12)
    error = np.sqrt(2 / np.maximum(square, 1e-12))
    nothing = (square <= 0) | ~np.isfinite(level)
    return Compared(level, np.where(nothing, np.nan, told), np.where(nothing, np.nan, error))


def _median(rows: np.ndarray) -> np.ndarray:
    """Median over the first axis of what is a number."""
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # nothing but no numbers
        middle: np.ndarray = np.nanmedian(rows, axis=0)
    return middle


def _mean(rows: np.ndarray) -> np.ndarray:
    heard, total = np.isfinite(rows), np.nan_to_num(rows).sum(axis=1)
    mean: np.ndarray = np.where(heard.any(axis=1), total / np.maximum(heard.sum(axis=1), 1), np.nan)
    return mean
