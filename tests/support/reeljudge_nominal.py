"""Two names of one thing, for the judge alone: nominal speeds and widths, equalisations listed together.

Speeds and widths: nominal rows of the trade. Equalisations: IASA-TC 04, second edition (2009), 5.4.10,
Table 1, rows in which several names stand for one pair of time constants. Reel capacities: makers' sheets,
the double and triple play rows from memory.
"""

from fractions import Fraction

import reeljudge_units as units

SPEEDS = tuple(Fraction(speed) for speed in ("15/16", "15/8", "15/4", "15/2", "15", "30", "60"))
"""Inches per second."""
WIDTHS = (
    *(Fraction(width) for width in ("3/20", "1/4", "1/2", "1", "2")),
    *(mm / units.INCH_MM for mm in (16, 35)),
)
"""Inches: cassette, the four of open reels, the two of film stock."""

_TOGETHER: dict[Fraction, tuple[frozenset[str], ...]] = {
    Fraction(30): (frozenset({"aes", "iec2"}), frozenset({"ccir", "iec1", "din"})),
    Fraction(15): (frozenset({"iec1", "ccir", "din", "bs"}), frozenset({"nab", "eia"})),
    Fraction(15, 2): (frozenset({"iec1", "ccir"}), frozenset({"nab", "iec2", "eia", "riaa"})),
    Fraction(15, 4): (frozenset({"nab", "iec2", "riaa"}),),
}

LONGEST_FEET = {Fraction(5): 1800, Fraction(7): 3600, Fraction(21, 2): 4800, Fraction(14): 7200}
"""The most tape that a reel of a size holds: triple play on 5 and 7 in, the thinnest made on the larger."""


def _snap(value: Fraction, names: tuple[Fraction, ...], percent: int) -> Fraction:
    for name in names:
        if abs(value - name) * 100 <= name * percent:
            return name
    return value


def speed(text: str) -> Fraction:
    """A tape speed in inches per second: the nominal one within 1 %, exactly."""
    return _snap(units.speed(text), SPEEDS, 1)


def width(text: str) -> Fraction:
    """A tape width in inches: the nominal one within 2 %."""
    return _snap(units.length(text), WIDTHS, 2)


def eq(ips: Fraction | None, text: str) -> str:
    """One name for every equalisation that the table lists under several at that speed."""
    folded = " ".join(text.split()).casefold()
    for names in _TOGETHER.get(ips or Fraction(0), ()):
        if folded.replace(" ", "") in names:
            return min(names)
    return folded


def at_most(inches: Fraction, reel_size: str) -> Fraction:
    """An assumed length, no longer than a reel of that size can hold."""
    if not reel_size:
        return inches
    longest = LONGEST_FEET.get(units.length(reel_size))
    return inches if longest is None else min(inches, Fraction(12 * longest))
