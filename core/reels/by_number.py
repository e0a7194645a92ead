"""A reel called by its number alone, as a person with one run of keys writes it: 17 for R-017."""

from __future__ import annotations

import re
from collections.abc import Collection


def by_number(typed: str, keys: Collection[str]) -> str:
    """The one key that ends in that bare number; empty where none or several do, or it is a key itself."""
    found = _ending_in(typed, keys)
    return found[0] if len(found) == 1 else ""


def _ending_in(typed: str, keys: Collection[str]) -> list[str]:
    number = typed.strip()
    if number in keys or not re.fullmatch(r"\d{1,6}", number):
        return []
    return [key for key in keys if (end := re.search(r"\d+$", key)) and int(end[0]) == int(number)]


def needs_by_number(text: str, keys: Collection[str]) -> str:
    """``1, 17@2:00-4:00 and R-020`` as ``R-001; R-017@2:00-4:00; R-020``.

    Empty where it is written so already, or a part of it is neither a key nor the number of one.
    """
    out: list[str] = []
    for part in text.split(";"):
        whole = _one(part, keys)
        parts = [whole] if whole else [_one(one, keys) for one in re.split(r",|&|\band\b", part)]
        if not all(parts):
            return ""
        out += parts
    told = "; ".join(out)
    return "" if told == "; ".join(one.strip() for one in text.split(";")) else told


def meant(typed: str, keys: Collection[str]) -> str:
    """``: did you mean R-017?`` where numbers alone name reels, ``R-001 or CAL-1`` too; empty where not."""
    named = " or ".join(_ending_in(typed, keys)) or needs_by_number(typed, keys)
    return f": did you mean {named}?" if named else ""


def _one(part: str, keys: Collection[str]) -> str:
    """One reel with its span, by its key; empty where it is neither a key nor the number of one."""
    key, sign, span = part.strip().partition("@")
    named = key.strip() if key.strip() in keys else by_number(key, keys)
    return f"{named}{sign}{span.strip()}" if named else ""
