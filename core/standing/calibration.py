"""Which calibration reel fits a line-up, and which of several is nearest to it."""

from __future__ import annotations

from fractions import Fraction

from core.reels.reel import Reel
from core.studio.setup import Setup, level_key, speed_key
from core.studio.studio import Deck
from core.tape.nominal import known_curve, one_equalisation

Nearness = tuple[bool, Fraction, bool]


def fits(deck: Deck, setup: Setup, calibration: Reel) -> bool:
    """True if its nominal speed is the set-up's and its width one of that deck's."""
    speed = speed_key(calibration.speed)
    known = speed is not None and calibration.width is not None
    return known and speed == speed_key(setup.speed) and deck.takes_width(calibration.width)  # type: ignore[arg-type]


def nearness(setup: Setup, calibration: Reel) -> Nearness:
    """The smaller, the nearer: by equalisation, then by nWb/m, then one whose curve the table knows."""
    speed = speed_key(setup.speed)
    other = one_equalisation(calibration.eq, speed) != one_equalisation(setup.eq, speed)
    mine, its = level_key(setup.level), level_key(calibration.level)
    off = Fraction(0) if mine is None else Fraction(10**6) if its is None else abs(mine - its)
    return other, off, not known_curve(calibration.eq, speed)
