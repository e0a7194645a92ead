"""Values of the studio's file as a person reads and types them, without the file's signs."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from core.errors import Unusable
from core.quantities import read_quantity
from core.store.studio.fields import TABLES

LISTS = ("widths", "speeds", "days", "dates")
_SETUP = ("speed", "eq", "level", "noise_reduction")


def written(value: object) -> str:
    """A value of a table in words: ``1 in, 1/2 in``; ``1 in: 2, 1/4 in: 1``; ``15 ips, NAB, 250 nWb/m``."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(str(one) for one in value)
    if isinstance(value, Mapping):
        if set(value) <= set(_SETUP):
            return ", ".join(str(value[key]) for key in _SETUP if value.get(key))
        return ", ".join(f"{width}: {number}" for width, number in value.items())
    return str(value)


def listed_parts(text: str) -> list[str]:
    """The parts of a list: between semicolons where there is one, so that a comma may be a decimal's."""
    return [one for part in text.strip("[] ").split(";" if ";" in text else ",") if (one := part.strip(' "'))]


def typed(table: str, key: str, text: str) -> object:
    """What a person typed as a value of that key; None where nothing stands, so that its default holds."""
    field = next((one for one in TABLES[table] if one.key == key), None)
    if field is None:
        raise Unusable(f"{table} has no key {key}")
    bare = " ".join(text.split())
    if not bare or (field.default in ("off", "none", "not known") and bare.casefold() == field.default):
        return None
    if key in LISTS:
        return listed_parts(bare)
    readers: dict[str, Callable[[str], object]] = {"trays_taken": _trays, "lined_up": _setup}
    return readers.get(key, _plain)(bare)


def _plain(bare: str) -> object:
    if bare.casefold() in ("yes", "true", "on", "y"):
        return True
    if bare.casefold() in ("no", "false", "n"):
        return False
    number = bare.replace(",", ".")
    if re.fullmatch(r"-?\d{1,9}", number):
        return int(number)
    return float(number) if re.fullmatch(r"-?\d{1,9}\.\d{1,9}", number) else bare


def _trays(text: str) -> dict[str, object]:
    out: dict[str, object] = {}
    for part in re.split(r"[,;]", text.strip("{} ")):
        width, sign, number = part.replace("=", ":").rpartition(":")
        if not sign or not re.fullmatch(r"\s*\d{1,4}\s*", number):
            raise Unusable("each width with its trays, such as 1 in: 2, 1/4 in: 1")
        out[width.strip().strip('"')] = int(number)
    return out


def _setup(text: str) -> dict[str, str]:
    """The parts of a set-up, told apart by their units: a speed, a level, else a word."""
    out: dict[str, str] = {}
    for part in (one.strip() for one in re.split(r"[,;]", text) if one.strip()):
        key = _is_of(part) or ("noise_reduction" if "eq" in out else "eq")
        if key in out:
            raise Unusable("how it stands now, such as 15 ips, NAB, 250 nWb/m")
        out[key] = part
    return out


def _is_of(part: str) -> str | None:
    for key, kind in (("speed", "speed"), ("level", "flux")):
        try:
            read_quantity(part, kind)  # type: ignore[arg-type]
        except ValueError:
            continue
        return key
    return None
