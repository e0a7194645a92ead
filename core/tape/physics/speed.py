"""Tape speed: off by how much, in percent, cents and seconds."""

import math
from fractions import Fraction

from core.tape.exact import Number, positive

#: Nominal speeds in ips, slowest first.
NOMINAL_IPS = tuple(Fraction(30, 2**halved) for halved in (5, 4, 3, 2, 1, 0))


def cm_per_second(ips: Number) -> Fraction:
    """A speed in cm/s, exactly: one inch is 2.54 cm."""
    return positive(ips, "the speed") * Fraction(254, 100)


def percent_off(measured: Number, nominal: Number) -> float:
    """How much faster (+) or slower (−) than nominal, in percent; any unit that both share."""
    ratio = positive(measured, "the measured figure") / positive(nominal, "the nominal figure")
    return float(ratio - 1) * 100


def cents(percent: Number) -> float:
    """A speed error in percent as cents of pitch: 1200·log₂(1 + e)."""
    return 1200 * math.log2(_factor(percent))


def percent_from_cents(pitch_cents: Number) -> float:
    """Pitch in cents as percent of speed."""
    return float((2 ** (float(pitch_cents) / 1200) - 1) * 100)


def semitones(percent: Number) -> float:
    """A speed error in percent as semitones of pitch."""
    return cents(percent) / 100


def seconds_off(percent: Number, nominal_seconds: Number) -> float:
    """Seconds by which a piece comes out too short (+) when it plays so many percent fast."""
    nominal = float(positive(nominal_seconds, "the nominal time"))
    return nominal - nominal / _factor(percent)


def nearest_nominal(ips: Number) -> Fraction:
    """The nominal speed closest in pitch to a measured one."""
    speed = float(positive(ips, "the speed"))
    return min(NOMINAL_IPS, key=lambda one: abs(math.log(speed / one)))


def _factor(percent: Number) -> float:
    factor = 1 + float(percent) / 100
    if not math.isfinite(factor) or factor <= 0:
        raise ValueError(f"a speed error is above −100 percent, not {percent}")
    return factor
