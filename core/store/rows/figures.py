"""Figures with units as columns take them: such as there were; and what a bare number may mean."""

from __future__ import annotations

import re
from dataclasses import replace

from core.quantities import Kind, Quantity, two_readings
from core.reels.width_words import width_and_tracks
from core.store.rows.columns import Column, Reading
from core.store.rows.never_was import beyond_typed, never_was
from core.tape.physics.levels import said_of_a_level

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


def quantity(name: str, kind: Kind) -> Column:
    """A number with its unit, above nothing, such as there was."""

    def read(text: str, reading: Reading) -> Quantity:
        try:
            found = reading.quantity(_in_our_words(name, text), kind)
        except ValueError as error:
            offers = offered(name, text, kind, reading)
            right = str(error) if two_readings(text.split(" ")[0]) else _RIGHT.get(name, str(error))
            raise ValueError(f"{right}: did you mean {' or '.join(offers)}?" if offers else right) from None
        wrong = "" if reading.kept else never_was(name, found)
        if wrong:
            raise ValueError(wrong)
        return found

    return Column(name, name, read, lambda value: value.text)


def _in_our_words(name: str, text: str) -> str:
    """A width without tracks, as boxes call it, in our words: ``halbzoll`` as ``1/2 in``; else as it is."""
    called = width_and_tracks(text) if name == "width" else None
    return called[0] if called and called[0] and not called[1] else text


def such_as_were(column: Column) -> Column:
    """That column, with figures without a unit only such as there were."""

    def read(text: str, reading: Reading) -> object:
        wrong = "" if reading.kept else beyond_typed(column.name, text) or _ahead(column.name, text, reading)
        if wrong:
            raise ValueError(wrong)
        return column.read(text, reading)

    return replace(column, read=read)


def _ahead(name: str, text: str, reading: Reading) -> str:
    """What would be right where a tape is said to be from a year that is still ahead; else nothing."""
    found = re.search(r"(?<!\d)\d{4}(?!\d)", text) if name == "year" and reading.this_year else None
    late = found is not None and int(found[0]) > (reading.this_year or 0)
    return f"a year from which a tape can be: {reading.this_year} at the latest" if late else ""


def offered(name: str, text: str, kind: Kind, reading: Reading) -> list[str]:
    """What a bare number in that column may mean, with its unit, the likeliest first; else nothing."""
    typed = " ".join(text.split())
    if name == "level" and (called := said_of_a_level(typed)):
        return [f"{one} nWb/m" for one in called]
    if name == "speed" and (spoken := re.fullmatch(r"([\d\s/.,½]+?) ?(?:cm|in)", typed)):
        units: tuple[str, ...] = ("cm/s",) if typed.endswith("cm") else ("ips",)
        typed = spoken[1]  # as boxes have it: 19 cm
    elif name == "level" and (spoken := re.fullmatch(r"(\d{2,4}) ?nwb", typed, re.IGNORECASE)):
        units, typed = ("nWb/m",), spoken[1]  # as boxes have it: 510 nWb
    else:
        units = _UNITS.get(name, ())
    if not re.fullmatch(r"[\d\s/.,½¼¾⅛⅜⅝⅞]+", typed) or two_readings(typed):
        return []
    out = []
    for unit in units:
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
