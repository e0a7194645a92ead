"""Figures with units as columns take them: such as there were; and what a bare number may mean."""

from __future__ import annotations

import re

from core.quantities import Kind, Quantity, two_readings
from core.store.rows.columns import Column, Reading
from core.tape.nominal import speed_there_was, speeds_told, width_there_was, widths_told

#: In which units a bare number of that column may be meant.
_UNITS: dict[str, tuple[str, ...]] = {
    "speed": ("ips", "cm/s"),
    "width": ("in", "mm"),
    "level": ("nWb/m",),
    "thickness": ("mil", "µm"),
    "reel_size": ("in", "cm"),
    "length": ("ft", "m"),
    "pack_diameter": ("in", "cm", "mm"),
    "hub_diameter": ("in", "cm", "mm"),
    "treatment_hours": ("h",),
}
#: What would be right in a column whose kind tells too little of it.
_RIGHT: dict[str, str] = {
    "width": "a width such as 1/4 in, 1/2 in, 1 in or 6.3 mm",
    "thickness": "a thickness such as 1.5 mil or 50 µm",
    "reel_size": "a size such as 7 in or 10.5 in",
}
#: Where a thickness or a size of tape lies, in inches.
_THICKNESS_IN = (0.0001, 0.01)
_SIZE_IN = (2, 16)
_LEAST_RATE_HZ = 8000  # of speech over a wire; no converter of programme is slower


def quantity(name: str, kind: Kind) -> Column:
    """A number with its unit, above nothing, such as there was."""

    def read(text: str, reading: Reading) -> Quantity:
        try:
            found = reading.quantity(text, kind)
        except ValueError as error:
            offers = offered(name, text, kind, reading)
            right = str(error) if two_readings(text.split(" ")[0]) else _RIGHT.get(name, str(error))
            raise ValueError(f"{right}: did you mean {' or '.join(offers)}?" if offers else right) from None
        wrong = "" if reading.kept else never_was(name, found)
        if wrong:
            raise ValueError(wrong)
        return found

    return Column(name, name, read, lambda value: value.text)


def offered(name: str, text: str, kind: Kind, reading: Reading) -> list[str]:
    """What a bare number in that column may mean, with its unit, the likeliest first; else nothing."""
    typed = " ".join(text.split())
    if not re.fullmatch(r"[\d\s/.,½¼¾⅛⅜⅝⅞]+", typed) or two_readings(typed):
        return []
    out = []
    for unit in _UNITS.get(name, ()):
        try:
            found = reading.quantity(f"{typed} {unit}", kind)
        except ValueError:
            continue
        if not never_was(name, found):
            out.append(found.text)
    return out


_KINDS: dict[str, Kind] = {"speed": "speed", "level": "flux", "treatment_hours": "time"}


def meant(name: str, text: str, reading: Reading) -> str | None:
    """The bare number of that column with the one unit that it can have; None where none or several can be.

    A reel's size is told in inches: one of as many centimetres was never common.
    """
    offers = offered(name, text, _KINDS.get(name, "length"), reading) if name in _UNITS else []
    return offers[0] if offers and (len(offers) == 1 or name == "reel_size") else None


def never_was(name: str, found: Quantity) -> str:
    """What would be right where a figure of that column cannot be; empty where it can."""
    number = found.number
    if number <= 0:
        return "above nothing"
    if name == "speed" and not speed_there_was(number):
        return f"a speed that a deck runs at ({speeds_told()})"
    if name == "width" and not width_there_was(number):
        return f"a width that tape has ({widths_told()})"
    if name == "thickness" and not _THICKNESS_IN[0] <= number <= _THICKNESS_IN[1]:
        return "a thickness that tape has, such as 1.5 mil or 50 µm"
    if name == "length" and (both := _thousands(found)):
        return f"a length that reads one way: {both}"
    if name == "sample_rate" and number < _LEAST_RATE_HZ:
        return "a sampling rate, such as 96 kHz or 44100 Hz"
    if name == "reel_size" and not _SIZE_IN[0] <= number <= _SIZE_IN[1]:
        return "a size that a reel has, such as 7 in or 10.5 in"
    return ""


def _thousands(found: Quantity) -> str:
    """Both readings of a length such as 1.200 ft, where a reel holds as much with a point for thousands."""
    from core.tape.physics.length import longest_there_was

    number, _, unit = found.text.partition(" ")
    both = two_readings(number, ".")
    if both is None or number.startswith("0") or found.number * 1000 > longest_there_was():
        return ""
    return " or ".join(f"{one} {unit}" for one in both)
