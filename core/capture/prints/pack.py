"""How long one turn of the pack takes to run by, and what is one turn at several places of one reel."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

NARROWEST_INCHES, WIDEST_INCHES = 1.75, 14.0
"""The hub of the smallest spool, and the largest spool there is (NAB 1965 and EIA RS-224, from memory)."""
_SLACK, _STEADY = 0.03, 0.0012
"""How far a pack may lie beside what is told of it; how steady the speed of a good deck is over a turn."""
THINNEST_METRES, THICKEST_METRES = 16e-6, 60e-6


def turn_seconds(inches: float, speed_ips: float) -> float:
    """One turn of a pack of that diameter at that speed."""
    return float(np.pi * inches / speed_ips)


def pack_inches(seconds: float, speed_ips: float) -> float:
    """The diameter of a pack of which one turn takes so long."""
    return float(seconds * speed_ips / np.pi)


def lags_of(pack: tuple[float, float], speed_ips: float) -> tuple[float, float]:
    """The shortest and the longest turn of packs between two diameters, and a little more."""
    narrow, wide = pack
    return turn_seconds(narrow, speed_ips) * (1 - _SLACK), turn_seconds(wide, speed_ips) * (1 + _SLACK)


def one_pack(
    a: tuple[float, float], b: tuple[float, float], speed_ips: float, steady: float = _STEADY
) -> bool:
    """Whether two turns (place and length in seconds) can be of one pack, which grows or shrinks as it runs.

    The square of the diameter changes by 4 t / pi times the length wound: T^2 by 4 pi t / v a second.
    """
    a_metre = 4 * np.pi / (speed_ips * 0.0254) * abs(b[0] - a[0])
    change, slack = abs(b[1] ** 2 - a[1] ** 2), steady * (a[1] + b[1])
    return bool(THINNEST_METRES * a_metre - slack <= change <= THICKEST_METRES * a_metre + slack)


def steady(turns: Sequence[tuple[float, float]]) -> bool:
    """Whether three turns and more (place, length in seconds) change as one pack does: T^2 on a line."""
    if len(turns) < 3:
        return True
    at, square = np.array([one[0] for one in turns]), np.array([one[1] ** 2 for one in turns])
    strays = square - np.polyval(np.polyfit(at, square, 1), at)
    return bool(np.sqrt(np.mean(strays**2)) <= 2 * _STEADY * float(np.sqrt(square.mean())))
