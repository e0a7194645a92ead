"""Wow and flutter of a recorded tone: how its frequency sways, weighted as ears mind it, two-sigma."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.values import dataclass

SHORTEST_SECONDS = 5.0
"""The two-sigma statistic is taken over at least so long (AES6-2008)."""

WEIGHTING = (
    (0.2, -30.6), (0.315, -19.7), (0.4, -15.0), (0.63, -8.4), (0.8, -6.0), (1.0, -4.2), (1.6, -1.8),
    (2.0, -0.9), (4.0, 0.0), (6.3, -0.9), (10.0, -2.1), (20.0, -5.9), (40.0, -10.4), (63.0, -14.2),
    (100.0, -17.3), (200.0, -23.0),
)  # fmt: skip
"""Rate of the sway in Hz and its weight in dB: the curve of AES6-2008, IEC 60386 and DIN 45507.

The values at 0.2, 0.8, 4 and 20 Hz are those that are quoted from AES6 in public (0.0296, 0.500, 1.000 and
0.508 as factors); the others are from memory, and were not compared with the paid standard. Between them
the weight is straight over the logarithm of the rate.
"""

WEIGHTED = "weighted, its curve partly from memory"
"""What is said with every weighted figure."""

LOWEST_HZ, HIGHEST_HZ = 0.2, 200.0
"""Rates outside are left out, weighted or not."""


@dataclass(frozen=True, slots=True)
class Flutter:
    """Wow and flutter, as plus or minus so many percent that 95 % of the time is not exceeded."""

    weighted_percent: float
    unweighted_percent: float
    wow_percent: float
    """Unweighted, from sway below 4 Hz alone."""
    flutter_percent: float
    """Unweighted, from sway of 4 Hz and more."""
    seconds: float


def weight_db(hertz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Weight of sway at these rates in dB; minus infinity outside 0.2 to 200 Hz."""
    rates, weights = np.array(WEIGHTING).T
    inside = (hertz >= LOWEST_HZ) & (hertz <= HIGHEST_HZ)
    weight = np.interp(np.log(np.where(inside, hertz, 1.0)), np.log(rates), weights)
    return np.where(inside, weight, -np.inf)


def flutter_of(deviation: NDArray[np.float64], rate_hz: float) -> Flutter | None:
    """Wow and flutter of a relative frequency deviation that is given so many times a second.

    None if it is shorter than five seconds. Its mean and straight drift are taken out first.
    """
    seconds = len(deviation) / rate_hz
    if seconds < SHORTEST_SECONDS:
        return None
    place = np.arange(len(deviation))
    level = deviation - np.polyval(np.polyfit(place, deviation, 1), place)
    spectrum = np.fft.rfft(level)
    rates: NDArray[np.float64] = np.fft.rfftfreq(len(level), 1 / rate_hz).astype(np.float64)
    weight = 10 ** (weight_db(rates) / 20)
    inside = np.isfinite(weight_db(rates))

    def sway(gain: NDArray[np.float64] | NDArray[np.bool_]) -> float:
        swing = np.abs(np.fft.irfft(spectrum * gain, len(level)))
        return 100 * float(np.quantile(swing, 0.95))

    return Flutter(
        sway(weight), sway(inside), sway(inside & (rates < 4)), sway(inside & (rates >= 4)), seconds
    )
