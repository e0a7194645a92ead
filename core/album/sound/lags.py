"""The lag between two captures that lie nearly together: one for every second, all chosen jointly."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from core.album.paths import between, likeliest_path
from core.album.sound.correlated import Correlations
from core.album.sound.spectra import WORK_HZ, Floats
from core.values import dataclass

_BEND = 0.75
"""What it costs to change speed by a sample in a second, squared."""
_PERIODS = range(9, 101)
"""Samples away at which a pitch that repeats may be taken for itself: 1.1 to 12.5 ms."""
_MOST, _CHANCE = 12.0, 2.5
"""Times chance beyond which nothing gets likelier, and up to which it is no evidence."""


@dataclass(frozen=True, slots=True, eq=False)
class Lags:
    """One lag a second, in samples, chosen jointly; and how it stands."""

    samples: NDArray[np.float64]
    height: NDArray[np.float64]
    """The correlation there, of the polarity that was found."""
    stands: NDArray[np.float64]
    """How many times what chance gives."""
    alone: NDArray[np.float64]
    """The lag that the second itself would choose, in samples."""
    polarity: int
    """1, or -1 where one capture is opposed."""
    rival: NDArray[np.float64]
    """How high the correlation stands a pitch period away, as a share of the height; from 0.9 it is doubt."""


def choose_lags(found: Correlations, grid: int, steepest_share: float, polarity: int = 0) -> Lags:
    """One lag for every second, chosen jointly on a grid of samples, for the polarity that fits better."""
    steepest = max(2, round(steepest_share * WORK_HZ / grid))
    _, sign, path = max(_paths(found, grid, steepest, polarity), key=lambda one: one[0])
    return _told(found, sign, path * grid + grid // 2, grid)


def _paths(
    found: Correlations, grid: int, steepest: int, polarity: int
) -> Iterator[tuple[float, int, NDArray[np.int64]]]:
    """What the likeliest path of a polarity is worth, and it; none of one that cannot be worth as much."""
    scores = {sign: _evidence(found, sign, grid) for sign in ((polarity,) if polarity else (1, -1))}
    most = {sign: float(one.max(axis=1).sum()) for sign, one in scores.items()}
    reached = -1.0
    for sign in sorted(scores, key=lambda one: -most[one]):
        if most[sign] > reached:
            path = likeliest_path(scores[sign], steepest, _BEND * grid**2)
            reached = float(scores[sign][np.arange(len(path)), path].sum())
            yield reached, sign, path


def _evidence(found: Correlations, sign: int, grid: int) -> Floats:
    """Seconds by lags on the grid: how much likelier than chance; what chance gives counts nothing."""
    scale = (1 / found.chance).astype(np.float32)[:, None]
    stands = np.clip(found.values * (sign * scale), 0, _MOST)
    if grid > 1:
        short = stands.shape[1] // grid * grid
        stands = stands[:, :short].reshape(len(stands), -1, grid).max(axis=2)
    return np.asarray(np.maximum(stands * stands - _CHANCE**2, 0) / 2, np.float32)


def _told(found: Correlations, sign: int, path: NDArray[np.int64], grid: int) -> Lags:
    rows = np.arange(len(path))
    signed = found.values * np.float32(sign)
    path = _climbed(signed, path, grid + 1)
    lags = path + between(signed, path) - found.reach
    near = signed.argmax(axis=1)
    alone = near + between(signed, near) - found.reach
    height = signed[rows, path].astype(float)
    return Lags(lags, height, height / found.chance, alone, sign, _rival(signed, path, height))


def _rival(signed: Floats, path: NDArray[np.int64], height: NDArray[np.float64]) -> NDArray[np.float64]:
    away = np.array([*(-one for one in _PERIODS), *_PERIODS])
    at = path[:, None] + away
    inside = (at >= 0) & (at < signed.shape[1])
    values = np.take_along_axis(signed, np.where(inside, at, 0), axis=1)
    most = np.where(inside, values, 0).max(axis=1)
    return np.asarray(most / np.maximum(height, 1e-9), np.float64)


def _climbed(signed: Floats, path: NDArray[np.int64], by: int) -> NDArray[np.int64]:
    """Every lag moved to the highest value within so many samples of it."""
    rows = np.arange(len(path))[:, None]
    places = np.clip(path[:, None] + np.arange(-by, by + 1), 0, signed.shape[1] - 1)
    return np.asarray(places[rows[:, 0], signed[rows, places].argmax(axis=1)])
