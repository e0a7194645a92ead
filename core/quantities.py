"""What people type with a unit behind it, read strictly; the only room that knows Pint.

A person's text never reaches Pint: a small reader splits number and unit word, and Pint is handed an exact
number and one unit from the closed list below. A quantity that was read once is kept with its exact number,
so that opening a shelf needs no unit library.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from typing import Any, Literal

from core.values import dataclass

Kind = Literal["length", "speed", "flux", "temperature", "time", "frequency"]

#: The unit in which each kind's ``number`` is kept.
BASE_UNITS: dict[str, str] = {
    "length": "inch",
    "speed": "inch / second",
    "flux": "nanoweber / meter",
    "temperature": "degC",
    "time": "hour",
    "frequency": "hertz",
}

_WORDS: dict[str, dict[str, str]] = {
    "length": {
        "in": "inch",
        "inch": "inch",
        "inches": "inch",
        '"': "inch",
        "ft": "foot",
        "foot": "foot",
        "feet": "foot",
        "'": "foot",
        "mil": "mil",
        "mils": "mil",
        "m": "meter",
        "cm": "centimeter",
        "mm": "millimeter",
        "um": "micrometer",
        "µm": "micrometer",
        "μm": "micrometer",
    },
    "speed": {
        "ips": "inch / second",
        "in/s": "inch / second",
        "cm/s": "centimeter / second",
        "m/s": "meter / second",
        "mm/s": "millimeter / second",
    },
    "flux": {"nwb/m": "nanoweber / meter", "pwb/mm": "picoweber / millimeter"},
    "temperature": {
        "degc": "degC",
        "°c": "degC",
        "c": "degC",
        "degf": "degF",
        "°f": "degF",
        "f": "degF",
    },
    "time": {
        "h": "hour",
        "hour": "hour",
        "hours": "hour",
        "min": "minute",
        "minutes": "minute",
        "d": "day",
        "days": "day",
    },
    "frequency": {"hz": "hertz", "khz": "kilohertz"},
}

#: Units that are a round multiple of their kind's base unit by definition: they ask no unit library.
ROUND: dict[str, Fraction] = {
    "foot": Fraction(12),
    "mil": Fraction(1, 1000),
    "minute": Fraction(1, 60),
    "day": Fraction(24),
    "kilohertz": Fraction(1000),
}

#: What a kind is called where it is not called so: a level is what a box tells of flux.
CALLED: dict[str, str] = {"time": "unit of time", "flux": "level"}

_EXAMPLES: dict[str, str] = {
    "length": "2500 ft, 762 m, 1/2 in or 1.5 mil",
    "speed": "15 ips, 7 1/2 ips or 38.1 cm/s",
    "flux": "250 nWb/m",
    "temperature": "54 degC or 130 degF",
    "time": "8 h, 90 min or 1h30",
    "frequency": "96 kHz or 44100 Hz",
}

_NUMBER = re.compile(
    r"(?P<sign>-)?(?:(?P<whole>\d+)(?:\s+|(?=[½¼¾⅛⅜⅝⅞])))?(?P<part>\d+/\d+|[½¼¾⅛⅜⅝⅞])"
    r"|(?P<decimal>-?\d+(?:[.,]\d+)?)"
)
#: Widths of tape as they are spoken, in inches.
_SPOKEN = {"quarter": Fraction(1, 4), "half": Fraction(1, 2), "one": Fraction(1), "two": Fraction(2)}
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit, as typed, and the same exactly in its kind's base unit (see BASE_UNITS)."""

    text: str
    number: Fraction

    def __str__(self) -> str:
        return self.text


def read_quantity(text: str, kind: Kind) -> Quantity:
    """Reads ``7 1/2 ips``, ``2500 ft``, ``half inch``, ``54 degC``; ValueError says what would be right."""
    wanted = f"a {CALLED.get(kind, kind)} such as {_EXAMPLES[kind]}"
    typed = " ".join(text.split())
    if len(typed) > 40:
        raise ValueError(wanted)
    clock = re.fullmatch(r"(\d+)\s?h\s?(\d{1,2})(?:\s?min)?", typed) if kind == "time" else None
    if clock:
        return Quantity(typed, int(clock[1]) + Fraction(int(clock[2]), 60))
    spoken = re.fullmatch(r"(\w+)[ -]?inch(?:es)?", typed.casefold()) if kind == "length" else None
    if spoken and spoken[1] in _SPOKEN:
        return Quantity(typed, _SPOKEN[spoken[1]])
    match = _NUMBER.match(typed)
    if match is None:
        raise ValueError(wanted)
    word = typed[match.end() :].strip()
    unit = _WORDS[kind].get(word.casefold())
    if unit is None:
        raise ValueError(wanted)
    two = two_readings(match[0])
    if two:
        both = " or ".join(f"{one} {word}" for one in two)
        raise ValueError(f"a {CALLED.get(kind, kind)} that reads one way: {both}")
    amount = _amount(match, wanted)
    if kind != "temperature" and amount < 0:
        raise ValueError(f"{wanted}, not below nothing")
    return Quantity(f"{match[0]} {word}" if word not in "'\"" else typed, _converted(amount, unit, kind))


def two_readings(number: str, mark: str = ",") -> tuple[str, str] | None:
    """A comma with exactly three digits after it marks thousands or a decimal: both readings, without it.

    So may a point, where a column says so. Each reading is written so that it has no other.
    """
    match = re.fullmatch(rf"(-?\d+){re.escape(mark)}(\d{{3}})", number.strip())
    if match is None:
        return None
    part = match[2].rstrip("0")
    decimal = f"{match[1]}.{part}{'0' if len(part) == 3 else ''}" if part else match[1]
    return match[1] + match[2], decimal


def _amount(match: re.Match[str], wanted: str) -> Fraction:
    if match["decimal"]:
        return Fraction(match["decimal"].replace(",", "."))
    try:
        amount = int(match["whole"] or 0) + Fraction(_VULGAR.get(match["part"], match["part"]))
    except ZeroDivisionError as error:
        raise ValueError(wanted) from error
    return -amount if match["sign"] else amount


def in_unit(quantity: Quantity, kind: Kind, word: str) -> Fraction:
    """The quantity's number in the unit that ``word`` names, such as ``m`` or ``degF``."""
    registry = _registry()
    there = registry.Quantity(quantity.number, BASE_UNITS[kind]).to(_WORDS[kind][word.casefold()])
    return Fraction(there.magnitude).limit_denominator(10**9)


def _converted(amount: Fraction, unit: str, kind: Kind) -> Fraction:
    if unit == BASE_UNITS[kind]:
        return amount
    if unit in ROUND:
        return amount * ROUND[unit]
    here = _registry().Quantity(amount, unit).to(BASE_UNITS[kind])
    return Fraction(here.magnitude).limit_denominator(10**12)


@cache
def _registry() -> Any:
    """Our own dozen definitions, exact: the full registry costs 130 ms more and floats."""
    import pint

    registry: Any = pint.UnitRegistry(None, non_int_type=Fraction)
    for line in (
        "inch = [length]",
        "foot = 12 * inch",
        "mil = 1/1000 * inch",
        "meter = 5000/127 * inch",
        "centimeter = 1/100 * meter",
        "millimeter = 1/1000 * meter",
        "micrometer = 1/1000000 * meter",
        "second = [time]",
        "minute = 60 * second",
        "hour = 3600 * second",
        "day = 86400 * second",
        "hertz = 1 / second",
        "kilohertz = 1000 * hertz",
        "nanoweber = [flux]",
        "picoweber = 1/1000 * nanoweber",
        "degC = [temperature]",
        "degF = 5/9 * degC; offset: -160/9",
    ):
        registry.define(line)
    return registry


def plain(number: Fraction) -> str:
    """Writes an exact number the short way: ``15``, ``7.5``, ``0.9375``; thirds to six digits."""
    if number.denominator == 1:
        return str(number.numerator)
    return f"{float(number):.6f}".rstrip("0").rstrip(".")
