"""Decibels of many powers at once, and back.

Natural logarithms and exponentials: NumPy takes these of many values at a time, those of base ten one by one.
"""

from __future__ import annotations

import math

import numpy as np

_A_NEPER = 10 / math.log(10)


def decibels(power: np.ndarray) -> np.ndarray:
    """10 log10 of powers, in their own precision."""
    levels: np.ndarray = np.log(power)
    levels *= _A_NEPER
    return levels


def powers(levels: np.ndarray) -> np.ndarray:
    """The powers of levels in decibels, in their own precision."""
    found: np.ndarray = np.multiply(levels, 1 / _A_NEPER)
    np.exp(found, out=found)
    return found
