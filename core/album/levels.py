"""Levels of tracks in a few bands, some fifty times a second: what captures that share sound are found by."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from core.values import dataclass

EDGES_HZ = (60.0, 140.0, 280.0, 560.0, 950.0, 1420.0)
"""Edges of the low bands; the last band is all that lies above them."""
PARTS_A_ROW = 64
"""Short sums from row to row, at about 3 kHz."""
PART_HZ = 3000.0
_HALVES = -20 / math.log(10)
"""Half decibels of a natural logarithm, which NumPy takes of many values at a time."""

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """The level of every track along the pass, in bands from low to high."""

    hertz: float
    """Rows a second; row k lies around k / hertz seconds."""
    halves: NDArray[np.uint8]
    """Tracks by rows by bands: half decibels below full scale, 255 for nothing at all."""

    @property
    def seconds(self) -> float:
        """How long it is."""
        return float(self.halves.shape[1] / self.hertz)

    def of(self, rows: list[int] | slice) -> Levels:
        """Only some of the tracks, by their place."""
        return Levels(self.hertz, self.halves[rows])

    def together(self) -> Levels:
        """The powers of all tracks added to one: opposed sides do not cancel."""
        power = np.where(self.halves == 255, 0.0, 10 ** (self.halves / np.float32(-20)))
        return Levels(self.hertz, halves_of(power.sum(axis=0, keepdims=True)))


def band_rows(parts: Floats, energy: NDArray[np.float64], part_hertz: float) -> NDArray[np.uint8]:
    """Rows from mean values of parts and mean squares of rows, each with one row more before them.

    `parts` is tracks by (rows + 1) x 64, full scale 1; `energy` tracks by rows + 1.
    """
    import scipy.fft

    tracks, rows = len(parts), energy.shape[1] - 1
    pairs = np.lib.stride_tricks.sliding_window_view(parts, 2 * PARTS_A_ROW, axis=1)[:, ::PARTS_A_ROW]
    shape = np.hanning(2 * PARTS_A_ROW + 1)[:-1].astype(np.float32)
    bins = scipy.fft.rfft(pairs * shape, axis=2)
    power = bins.real**2 + bins.imag**2
    hertz, edges = np.fft.rfftfreq(2 * PARTS_A_ROW, 1 / part_hertz)[:, None], np.array(EDGES_HZ)
    held = (hertz >= edges[:-1]) & (hertz < edges[1:])  # lines by bands; low rates leave some without any
    out = np.empty((tracks, rows, len(EDGES_HZ)), np.float32)
    out[:, :, :-1] = power @ (held.astype(np.float32) / PARTS_A_ROW**2)
    whole = (energy[:, 1:] + energy[:, :-1]) / 2
    sound = parts.reshape(tracks, rows + 1, PARTS_A_ROW)
    square = np.vecdot(sound, sound)
    low = (square[:, 1:] + square[:, :-1]) / (2 * PARTS_A_ROW)
    out[:, :, -1] = np.maximum(whole - low, 1e-4 * whole)
    return halves_of(out)


def halves_of(power: NDArray[np.floating]) -> NDArray[np.uint8]:
    """Powers as half decibels below full scale."""
    with np.errstate(divide="ignore"):
        halves = np.round(np.log(power) * _HALVES)
    return np.where(power > 0, np.clip(halves, 0, 254), 255).astype(np.uint8)


def levels_of(sound: Floats, rate: float) -> Levels:
    """The levels of tracks by samples, full scale 1."""
    sound = np.atleast_2d(sound)
    part = max(1, round(rate / PART_HZ))
    row = part * PARTS_A_ROW
    rows = sound.shape[1] // row
    blocks = sound[:, : rows * row].reshape(len(sound), rows, row)
    energy = np.einsum("crs,crs->cr", blocks, blocks).astype(np.float64) / row
    energy = np.concatenate((np.zeros((len(sound), 1)), energy), axis=1)
    parts = blocks.reshape(len(sound), -1, part).mean(axis=2)
    parts = np.concatenate((np.zeros((len(sound), PARTS_A_ROW), np.float32), parts), axis=1)
    return Levels(rate / row, band_rows(parts, energy, rate / part))
