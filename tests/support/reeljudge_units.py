"""Reading quantities exactly, for the judge alone: every number becomes a fraction of one base unit.

Base units: inches for lengths, inches per second for speeds, minutes for spans of time, degrees Celsius for
temperatures, nanoweber per metre for levels. Standard library only, and nothing of the program it judges.
"""

import re
from fractions import Fraction

INCH_MM = Fraction(254, 10)
"""International inch: exactly 25.4 mm (1959 agreement)."""

LENGTHS = {
    "in": Fraction(1),
    "inch": Fraction(1),
    "inches": Fraction(1),
    '"': Fraction(1),
    "ft": Fraction(12),
    "foot": Fraction(12),
    "feet": Fraction(12),
    "'": Fraction(12),
    "mil": Fraction(1, 1000),
    "mm": 1 / INCH_MM,
    "cm": 10 / INCH_MM,
    "m": 1000 / INCH_MM,
    "um": 1 / (1000 * INCH_MM),
    "µm": 1 / (1000 * INCH_MM),
    "μm": 1 / (1000 * INCH_MM),
}
SPEEDS = {
    "ips": Fraction(1),
    "in/s": Fraction(1),
    "inch/s": Fraction(1),
    "cm/s": 10 / INCH_MM,
    "mm/s": 1 / INCH_MM,
    "m/s": 1000 / INCH_MM,
    "ft/s": Fraction(12),
}
MINUTES = {
    "s": Fraction(1, 60),
    "sec": Fraction(1, 60),
    "min": Fraction(1),
    "minutes": Fraction(1),
    "h": Fraction(60),
    "hour": Fraction(60),
    "hours": Fraction(60),
    "d": Fraction(1440),
    "days": Fraction(1440),
}
LEVELS = {"nwb/m": Fraction(1), "pwb/mm": Fraction(1), "uwb/m": Fraction(1000), "mmx/mm": Fraction(10)}

_NUMBER = re.compile(r"(?:(?P<whole>\d+)[ -]+)?(?P<top>\d+)/(?P<bottom>[1-9]\d*)|(?P<plain>\d+(?:[.,]\d+)?)")


def number(text: str) -> tuple[Fraction, str]:
    """The leading number of *text* as a fraction (`7 1/2`, `1/4`, `2500`, `7.5`, `7,5`) and what follows it.

    A comma with exactly three digits after it has two readings and is refused.
    """
    found = _NUMBER.match(text.strip())
    if not found:
        raise ValueError(f"no number in {text!r}")
    rest = text.strip()[found.end() :].strip()
    if found["plain"]:
        if re.search(r",\d{3}$", found["plain"]):
            raise ValueError(f"{text!r} has two readings")
        return Fraction(found["plain"].replace(",", ".")), rest
    return Fraction(int(found["whole"] or 0)) + Fraction(int(found["top"]), int(found["bottom"])), rest


def quantity(text: str, units: dict[str, Fraction]) -> Fraction:
    """*text* in the base unit of *units*; ValueError where the unit is not one of them."""
    value, unit = number(text)
    if unit.casefold() not in units:
        raise ValueError(f"unit of {text!r} is none of {', '.join(units)}")
    return value * units[unit.casefold()]


def length(text: str) -> Fraction:
    """A length in inches."""
    return quantity(text, LENGTHS)


def speed(text: str) -> Fraction:
    """A tape speed in inches per second."""
    return quantity(text, SPEEDS)


def minutes(text: str) -> Fraction:
    """A span of time in minutes."""
    return quantity(text, MINUTES)


def level(text: str) -> Fraction | str:
    """A reference level in nWb/m, or the folded text where it is no quantity; blank is the empty text."""
    if not text.strip():
        return ""
    try:
        return quantity(text, LEVELS)
    except ValueError:
        return text.strip().casefold()


def temperature(text: str) -> Fraction:
    """A temperature in degrees Celsius."""
    value, unit = number(text)
    folded = unit.casefold().replace("°", "deg").replace(" ", "")
    if folded in ("degc", "celsius", "c"):
        return value
    if folded in ("degf", "fahrenheit", "f"):
        return (value - 32) * Fraction(5, 9)
    raise ValueError(f"{text!r} is no temperature in degC or degF")


def share(text: str) -> Fraction:
    """A share of one, as `10 %` or `0%`."""
    value, unit = number(text)
    if unit != "%":
        raise ValueError(f"{text!r} is no share in %")
    return value / 100


def clock_minutes(text: str) -> Fraction:
    """A length of play, `m:ss` or `h:mm:ss`, in minutes."""
    parts = [int(part) for part in text.strip().split(":")]
    if len(parts) == 2:
        return Fraction(parts[0]) + Fraction(parts[1], 60)
    if len(parts) == 3:
        return Fraction(parts[0] * 60 + parts[1]) + Fraction(parts[2], 60)
    raise ValueError(f"{text!r} is neither m:ss nor h:mm:ss")


def whole(value: Fraction) -> int:
    """The smallest whole number not below *value*."""
    return -((-value.numerator) // value.denominator)
