"""Plain numbers as exact fractions, with a sentence where one makes no sense."""

import math
from fractions import Fraction

Number = int | float | Fraction

#: π to the last bit of a double, so that lengths stay exact fractions and compare the same everywhere.
PI = Fraction(math.pi)


def positive(number: Number, what: str) -> Fraction:
    """The number as a fraction; ValueError unless it is finite and above nothing."""
    if not math.isfinite(number) or number <= 0:
        raise ValueError(f"{what} is a number above nothing, not {number}")
    return Fraction(number)


def not_negative(number: Number, what: str) -> Fraction:
    """The number as a fraction; ValueError if it is below nothing or not finite."""
    if not math.isfinite(number) or number < 0:
        raise ValueError(f"{what} is a number not below nothing, not {number}")
    return Fraction(number)
