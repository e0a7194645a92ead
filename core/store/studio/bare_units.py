"""In which unit a bare number of the studio's file is meant."""

from __future__ import annotations

import re
from datetime import UTC

from core.quantities import read_quantity
from core.store.studio.words import LISTS, listed_parts

#: In which unit a bare number of a key is meant, up to which number.
_MUCH = float("inf")
_UNITS: dict[str, tuple[tuple[float, str], ...]] = {
    "assume_level": ((_MUCH, "nWb/m"),),
    "wind_speed": ((_MUCH, "ips"),),
    "gentle_wind_speed": ((_MUCH, "ips"),),
    "temperature": ((90, "degC"), (_MUCH, "degF")),
    "hours": ((_MUCH, "h"),),
    "cool": ((_MUCH, "h"),),
    "turn_every": ((_MUCH, "h"),),
    "sample_rate": ((1000, "kHz"), (_MUCH, "Hz")),
    "slack": ((_MUCH, "%"),),
}


def with_units(key: str, text: str, there: str = "") -> str:
    """The text of that key with the unit that bare numbers are meant in; as it is where it needs none.

    A length is meant in the unit of the one that is ``there``.
    """
    if key == "assume_length" and (unit := re.search(r"(ft|m)$", there.strip())):
        return f"{text.strip()} {unit[1]}" if re.fullmatch(r"\d{2,4}", text.strip()) else text
    parts = listed_parts(text) if key in LISTS else [text.strip()]
    told = [_with_unit(key, one) for one in parts]
    return "; ".join(told) if told != parts else text


def _with_unit(key: str, text: str) -> str:
    number = re.fullmatch(r"\d{1,6}(?:[.,]\d{1,3})?", text)
    column = {"speeds": "speed", "widths": "width", "width": "width"}.get(key)
    if column is not None:
        from core.store.rows.columns import Reading
        from core.store.rows.figures import meant

        return meant(column, text, Reading(UTC, read_quantity)) or text
    if number is None or key not in _UNITS:
        return text
    unit = next(unit for most, unit in _UNITS[key] if float(text.replace(",", ".")) <= most)
    return f"{text} {unit}"
