"""Second for second the lag between two captures that lie nearly together, by their waveforms.

Both are read on one clock; the cross spectrum of every second is made partly white between 100 and 3000 Hz,
so that equalisation counts little and a pitch does not swallow the rest; one lag for every second is chosen
jointly.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.album.paths import between, likeliest_path

WORK_HZ = 8000
"""Samples a second at which waveforms are compared."""
LOW_HZ, HIGH_HZ = 100.0, 3000.0
WHITE = 0.6
"""How white a spectrum is made: 0 leaves it, 1 leaves no colour."""
_WINDOW_SECONDS = 1.5
_APART = 7
"""A second is also held against the one so many later, which shares nothing with it."""
_BEND = 0.75
"""What it costs to change speed by a sample in a second, squared."""
_MOST, _CHANCE = 12.0, 2.5
"""Times chance beyond which nothing gets likelier, and up to which it is no evidence."""

Floats = NDArray[np.float32]
Never = Callable[[], None]


@dataclass(frozen=True, slots=True, eq=False)
class Correlations:
    """Part-whitened correlations: seconds by lags, from -reach to reach samples; 1 is the very same sound."""

    values: Floats
    reach: int
    chance: NDArray[np.float64]
    """Of every second: the spread of what unrelated seconds of the same captures give."""
    sounding: NDArray[np.bool_]
    """Seconds in which both captures sound."""


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


def correlate(
    here: Floats, there: Floats, seconds: int, reach: int, ask: Never = lambda: None
) -> Correlations:
    """Correlations around second 0, 1, 2 ... of two rows that lie on one clock."""
    import scipy.fft

    window = round(_WINDOW_SECONDS * WORK_HZ)
    size = scipy.fft.next_fast_len(window + reach, real=True)
    shape = np.hanning(window).astype(np.float32)
    values = np.zeros((seconds, 2 * reach + 1), np.float32)
    chance, sounding = np.zeros(seconds), np.zeros(seconds, bool)
    bins = np.fft.rfftfreq(size, 1 / WORK_HZ)
    use = slice(int(np.searchsorted(bins, LOW_HZ)), int(np.searchsorted(bins, HIGH_HZ)))
    kept: list[NDArray[np.complex64]] = []
    every = np.array([_level(row) for row in (here, there)])
    for second in range(seconds):
        ask()
        one, two = (_white(_cut(row, second, window), shape, size, use) for row in (here, there))
        kept.append(two[0])
        sounding[second] = one[1] > 0.01 * every[0] and two[1] > 0.01 * every[1]
        if not sounding[second]:
            continue
        values[second] = _lags(one[0], two[0], size, use, reach)
        if second >= _APART:
            other = _lags(one[0], kept[second - _APART], size, use, reach)
            chance[second] = float(other.std())
            kept[second - _APART] = kept[second - _APART][:0]
    _fill(chance, sounding)
    return Correlations(values, reach, chance, sounding)


def _cut(row: Floats, second: int, window: int) -> Floats:
    low = second * WORK_HZ - (window - WORK_HZ) // 2
    out = np.zeros(window, np.float32)
    first, last = max(0, low), min(len(row), low + window)
    if last > first:
        out[first - low : last - low] = row[first:last]
    return out


def _level(row: Floats) -> float:
    """The level of the louder seconds."""
    whole = row[: len(row) // WORK_HZ * WORK_HZ].reshape(-1, WORK_HZ)
    if not len(whole):
        return 0.0
    return float(np.percentile(np.sqrt(np.einsum("sn,sn->s", whole, whole) / WORK_HZ), 80))


def _white(cut: Floats, shape: Floats, size: int, use: slice) -> tuple[NDArray[np.complex64], float]:
    """The spectrum in the band, partly white and of unit length, and the level in it."""
    import scipy.fft

    bins = scipy.fft.rfft(cut * shape, size)[use]
    strength = np.abs(bins)
    power = float(np.einsum("f,f->", strength, strength))
    level = float(np.sqrt(power * 2 / size / len(cut)))
    floor = np.float32(1e-3 * strength.max(initial=0.0) + 1e-20)
    bins = bins / np.maximum(strength, floor) ** np.float32(WHITE)
    length = float(
        np.sqrt(np.einsum("f,f->", bins.real, bins.real) + np.einsum("f,f->", bins.imag, bins.imag))
    )
    return (bins / np.float32(length or 1.0)).astype(np.complex64), level


def _lags(
    one: NDArray[np.complex64], two: NDArray[np.complex64], size: int, use: slice, reach: int
) -> Floats:
    import scipy.fft

    bins = np.zeros(size // 2 + 1, np.complex64)
    bins[use] = np.conj(one) * two
    like = scipy.fft.irfft(bins, size) * np.float32(size / 2)
    return np.concatenate((like[-reach:], like[: reach + 1]))


def _fill(chance: NDArray[np.float64], sounding: NDArray[np.bool_]) -> None:
    """Seconds of which nothing was held against another take what the others gave."""
    known = chance[chance > 0]
    usual = float(np.median(known)) if len(known) else 0.05
    chance[chance <= 0] = usual
    np.maximum(chance, 0.5 * usual, out=chance)
    chance[~sounding] = usual


def choose_lags(found: Correlations, grid: int, steepest_share: float, polarity: int = 0) -> Lags:
    """One lag for every second, chosen jointly on a grid of samples, for the polarity that fits better."""
    best: tuple[float, int, NDArray[np.int64]] | None = None
    steepest = max(2, round(steepest_share * WORK_HZ / grid))
    for sign in (polarity,) if polarity else (1, -1):
        scores = _evidence(found, sign, grid)
        path = likeliest_path(scores, steepest, _BEND * grid**2)
        total = float(scores[np.arange(len(path)), path].sum())
        if best is None or total > best[0]:
            best = total, sign, path
    assert best is not None
    return _told(found, best[1], best[2] * grid + grid // 2, grid)


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
    return Lags(lags, height, height / found.chance, alone, sign)


def _climbed(signed: Floats, path: NDArray[np.int64], by: int) -> NDArray[np.int64]:
    """Every lag moved to the highest value within so many samples of it."""
    rows = np.arange(len(path))[:, None]
    places = np.clip(path[:, None] + np.arange(-by, by + 1), 0, signed.shape[1] - 1)
    return np.asarray(places[rows[:, 0], signed[rows, places].argmax(axis=1)])
