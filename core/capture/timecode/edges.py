"""Finds where the code changes level: places between samples, with chatter from noise taken out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.values import dataclass

WINDOW_SECONDS = 0.085
"""Level and offset are taken anew this often; a few frames, so that mains hum averages out."""

MOST_SAMPLES = 8192
"""Longest window; above it numpy's library spreads one sum over threads, which costs more than it saves."""

SILENT = 1e-5
"""RMS over full scale (-100 dB) up to which a window is taken as silence."""


@dataclass(frozen=True, slots=True)
class Edges:
    """Level changes of one stretch of sound."""

    places: NDArray[np.float64]
    """In samples from the start of the stretch."""
    steepness: float
    """Mean step between the two samples around a change, over the whole swing; 1 is an ideal square wave."""


def _levels(sound: NDArray[np.float32], window: int) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Mean and RMS of each whole window; a last, shorter one counts with the one before it."""
    whole = len(sound) // window
    if whole == 0:
        return np.array([sound.mean()], np.float32), np.array([sound.std()], np.float32)
    rows = sound[: whole * window].reshape(whole, window)
    mean = np.vecdot(rows, np.full(window, 1 / window, np.float32))
    power = np.vecdot(rows, rows) / np.float32(window)
    return mean, np.sqrt(np.maximum(power - mean * mean, 0))


def _above(sound: NDArray[np.float32], mean: NDArray[np.float32], window: int) -> NDArray[np.bool_]:
    """Where the sound is above the mean of its window; padded with False to a multiple of 8."""
    above = np.zeros(len(sound) + 8 & ~7, np.bool_)
    whole = len(sound) // window * window
    if whole:
        np.greater(sound[:whole].reshape(-1, window), mean[:, None], out=above[:whole].reshape(-1, window))
    np.greater(sound[whole:], mean[-1], out=above[whole : len(sound)])
    return above


def find_edges(sound: NDArray[np.float32], sample_rate: int, shortest: float, silent: float) -> Edges:
    """Level changes in a stretch of sound.

    A level that lasts less than `shortest` samples is noise; windows with an RMS up to `silent` are left out.
    """
    window = min(1 << round(np.log2(sample_rate * WINDOW_SECONDS)), MOST_SAMPLES)
    if len(sound) < 2:
        return Edges(np.empty(0), 0.0)
    mean, rms = _levels(sound, window)
    mean[np.abs(mean) < 0.02 * rms] = 0
    above = _above(sound, mean, window)
    changes = above[1 : len(sound)] != above[: len(sound) - 1]
    before = np.flatnonzero(changes)
    if len(before) == 0:
        return Edges(np.empty(0), 0.0)
    left = sound[before]
    step = sound[before + 1] - left
    if mean.any() or rms.min() <= silent:
        which = np.minimum(before // window, len(mean) - 1)
        heard = rms[which] > silent
        before, left, step, which = before[heard], left[heard], step[heard], which[heard]
        # Between two windows the mean may change instead of the sound; then any place near is as good.
        step[step == 0] = 1
        beyond = np.clip((mean[which] - left) / step, 0, 1)
    else:
        beyond = -left / step
    places = before + beyond.astype(np.float64)
    steepness = float(np.abs(step[::8]).mean() / (2 * rms.mean())) if len(step) else 0.0
    return Edges(_without_chatter(places, shortest), steepness)


def _without_chatter(places: NDArray[np.float64], shortest: float) -> NDArray[np.float64]:
    """Changes of level that last; several around one change become their middle.

    Levels that last less than `shortest` are dropped. Of what is left, neighbours on the same side are one
    level; between two sides the change lies half-way from the first crossing to the last.
    """
    kept = np.flatnonzero(np.diff(places) >= shortest)
    if len(kept) >= len(places) - 1:
        return places
    if len(kept) < 2:
        return np.empty(0)
    turns = np.flatnonzero((kept[1:] - kept[:-1]) & 1)
    inner = (places[kept[turns] + 1] + places[kept[turns + 1]]) / 2
    return np.concatenate([places[kept[:1]], inner, places[kept[-1:] + 1]])
