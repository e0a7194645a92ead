"""Temperatures and weights as people type them, with or without a unit and a place."""

from __future__ import annotations

import re

from core.conditioning.loads.degrees import Degrees
from core.conditioning.on_shelf import check_celsius, check_grams
from core.tape.where import figure

_READING = re.compile(
    r"\s*([-−]?\d+(?:[.,]\d+)?\s*(?:°?\s?[cf]\b|deg\s?[cf]\b)?)\s*(?:at\s+)?(.*)$", re.IGNORECASE
)
#: Grams in each unit of weight that may be typed; the avoirdupois pound is 453.59237 g by definition.
GRAMS = {"": 1.0, "g": 1.0, "kg": 1000.0, "lb": 453.59237, "oz": 453.59237 / 16}
_WEIGHT = re.compile(r"(\d+(?:[.,]\d+)?)\s*([a-z]*)$", re.IGNORECASE)


def read_reading(typed: str, degrees: Degrees) -> tuple[float, str]:
    """°C and the place of ``54.5 top`` or ``130 °F bottom``; ValueError or Refused says what is right."""
    match = _READING.match(typed)
    if match is None:
        raise ValueError(f"a reading such as {degrees.text(54)} top")
    celsius = degrees.read(match[1].replace("deg ", "deg").replace("° ", "°"))
    check_celsius(celsius)
    return celsius, match[2].strip()


def read_set_point(typed: str, degrees: Degrees) -> float:
    """°C that a chamber is set to; ValueError above the hard stop."""
    celsius, _ = read_reading(typed, degrees)
    stop = figure("heat.hard_stop_c")
    if celsius > stop:
        raise ValueError(f"no chamber set above {degrees.text(stop)}")
    return celsius


def read_weight(typed: str) -> float:
    """Grams of ``1502``, ``1.5 kg``, ``3 lb``; ValueError or Refused says what is right."""
    match = _WEIGHT.match(typed.strip())
    if match is None or match[2].casefold() not in GRAMS:
        raise ValueError("a weight such as 1502 g, 1.5 kg or 3.3 lb")
    grams = round(float(match[1].replace(",", ".")) * GRAMS[match[2].casefold()], 1)
    check_grams(grams)
    return grams
