"""How surely a dip is a dropout: points for each thing that tells, added up; what comes again is played."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.capture.faults.dips.again import comes_again
from core.capture.faults.dips.dip import Dip
from core.capture.faults.dips.points import scorecard, with_kinds
from core.capture.faults.falls import Fall
from core.values import dataclass

NEAR_SECONDS, LOW_SECONDS, AS_LOW_DB = 2.5, 5.0, 6.0
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
