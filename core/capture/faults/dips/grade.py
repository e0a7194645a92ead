"""How surely a dip is a dropout: points for each thing that tells, added up; what comes again is played."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.capture.faults.dips.dips import AS_LOW_DB, LOW_SECONDS, NEAR_SECONDS, Dip
from core.capture.faults.dips.points import scorecard, with_kinds
from core.capture.faults.falls import Fall
from core.values import dataclass

TWIN_DB, TWINS = 3.0, 4
"""Dips so alike over all bands, and so many of them, are how the channel is played."""
LIKE_DB, BEAT_SECONDS = 6.0, 0.010
"""Dips that are like each other so far, and keep time so well over three of them, are a rhythm."""
_AS_LONG = 0.35
"""Logarithm of the ratio of lengths up to which two dips are as long as each other."""
_OWN_SECONDS = 0.02


@dataclass(frozen=True, slots=True)
class Graded:
    """A dip, and the logarithm of the odds that it is a dropout."""

    dip: Dip
    grade: float
    many: bool
    """So many others are like it in every band that this is how the channel is played."""
    keeps_time: bool
    """Others like it come in time with it."""


def graded(dips: Sequence[Dip], falls: Sequence[Fall], rate: int, window: int) -> list[Graded]:
    """The dips of one channel with their grades, in order; `falls` are all of the channel's."""
    if not dips:
        return []
    grades = scorecard().add_up(with_company(dips, falls, rate, window))
    many, in_time = comes_again(dips, rate)
    return [Graded(*one) for one in zip(dips, grades.tolist(), many.tolist(), in_time.tolist(), strict=True)]


def with_company(dips: Sequence[Dip], falls: Sequence[Fall], rate: int, window: int) -> np.ndarray:
    """Rows of `FEATURES`: what each dip tells by itself, and what the channel's other falls tell of it."""
    long = [fall for fall in falls if fall.length * rate >= 2 * window]
    at = np.array([fall.seconds for fall in long])
    low = np.array([fall.bottom_db for fall in long])
    company = np.zeros((len(dips), 2))
    for row, dip in enumerate(dips):
        here = dip.start / rate
        first, last = np.searchsorted(at, (here - LOW_SECONDS, here + LOW_SECONDS))
        apart = np.abs(at[first:last] - here)
        others = apart > _OWN_SECONDS
        company[row] = (np.count_nonzero(others & (apart < NEAR_SECONDS)),
                        np.count_nonzero(others & (low[first:last] < dip.bottom_db + AS_LOW_DB)))  # fmt: skip
    return with_kinds(np.concatenate((np.stack([dip.features for dip in dips]), np.log1p(company)), axis=1))


def comes_again(dips: Sequence[Dip], rate: int) -> tuple[np.ndarray, np.ndarray]:
    """Whether each dip has others like it in every band: so many of them, or in time with it."""
    bands = np.stack([dip.bands for dip in dips])
    lengths = np.log([dip.stop - dip.start for dip in dips])
    at = np.array([dip.start for dip in dips]) / rate
    many, in_time = np.zeros(len(dips), bool), np.zeros(len(dips), bool)
    for row in range(len(dips)):
        near = np.flatnonzero(np.abs(lengths - lengths[row]) < _AS_LONG)
        apart = np.sqrt(np.mean((bands[near] - bands[row]) ** 2, axis=1))
        many[row] = np.count_nonzero(apart < TWIN_DB) > TWINS  # it is itself among them
        in_time[row] = keeps_time(at[near[apart < LIKE_DB]] - at[row])
    return many, in_time


def keeps_time(distances: np.ndarray) -> bool:
    """Whether two of some distances in time lie as one beat and two, or one beat on either side."""
    beats = np.sort(distances[np.abs(distances) > 5 * BEAT_SECONDS])
    if len(beats) < 2:
        return False
    for wanted in (-beats, 2 * beats):
        nearest = np.searchsorted(beats, wanted - BEAT_SECONDS)
        found = nearest[nearest < len(beats)]
        if np.any(beats[found] <= wanted[nearest < len(beats)] + BEAT_SECONDS):
            return True
    return False
