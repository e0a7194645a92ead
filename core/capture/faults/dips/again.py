"""Dips that come again: many that are alike in every band, or some that keep time, are played."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.capture.faults.dips.dip import Dip

TWIN_DB, TWINS = 3.0, 4
"""Dips so alike over all bands, and so many of them, are how the channel is played."""
LIKE_DB, BEAT_SECONDS = 6.0, 0.010
"""Dips that are like each other so far, and keep time so well over three of them, are a rhythm."""
_AS_LONG = 0.35
"""Logarithm of the ratio of lengths up to which two dips are as long as each other."""


def comes_again(
    dips: Sequence[Dip], rate: int, rows: Sequence[int] | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """Whether each dip has others like it in every band: so many of them, or in time with it.

    With `rows` only those dips are asked about. More dips never make a no of a yes.
    """
    bands = np.stack([dip.bands for dip in dips])
    lengths = np.log([dip.stop - dip.start for dip in dips])
    at = np.array([dip.start for dip in dips]) / rate
    asked = range(len(dips)) if rows is None else rows
    many, in_time = np.zeros(len(asked), bool), np.zeros(len(asked), bool)
    for number, row in enumerate(asked):
        near = np.flatnonzero(np.abs(lengths - lengths[row]) < _AS_LONG)
        strays = bands[near] - bands[row]
        apart = np.sqrt(np.vecdot(strays, strays) / bands.shape[1])
        many[number] = np.count_nonzero(apart < TWIN_DB) > TWINS  # it is itself among them
        in_time[number] = keeps_time(at[near[apart < LIKE_DB]] - at[row])
    return many, in_time


def keeps_time(distances: np.ndarray) -> bool:
    """Whether two of some distances in time lie as one beat and two, or one beat on either side."""
    beats = np.sort(distances[np.abs(distances) > 5 * BEAT_SECONDS])
    if len(beats) < 2:
        return False
    ends = np.concatenate((beats, (np.inf,)))
    return any((ends[np.searchsorted(beats, wanted - BEAT_SECONDS)] <= wanted + BEAT_SECONDS).any()
               for wanted in (-beats, 2 * beats))  # fmt: skip
