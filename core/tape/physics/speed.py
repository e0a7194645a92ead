"""Tape speed: off by how much, in percent, cents and seconds."""

import math
from fractions import Fraction

from core.tape.exact import Number

#: Nominal speeds in ips, slowest first.
NOMINAL_IPS = tuple(Fraction(30, 2**halved) for halved in (5, 4, 3, 2, 1, 0))


def cents(percent: Number) -> float:
    """A speed error in percent as cents of pitch: 1200·log₂(1 + e)."""
    return 1200 * math.log2(_factor(percent))


def semitones(percent: Number) -> float:
    """A speed error in percent as semitones of pitch."""
    return cents(percent) / 100


def _factor(percent: Number) -> float:
    factor = 1 + float(percent) / 100
    if not math.isfinite(factor) or factor <= 0:
        raise ValueError(f"a speed error is above −100 percent, not {percent}")
    return factor
