"""What forbids heat and a shelf that comes into another's place does not know: it stays known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from core.reels.needs import OwnStocks, base_of
from core.reels.reel import Reel
from core.shelf import Shelf
from core.words import listed

#: Conditions that forbid heat; every sign asks for something else than heat, too.
_CONDITIONS = ("mould", "vinegar")


def kept_of_before(was: Shelf, there: Shelf) -> tuple[Shelf, Mapping[str, str]]:
    """The shelf that is there now with those facts, and by reel in words what it did not know."""
    own, told = was.own_stocks(), {}
    for key, reel in there.reels.items():
        changes = _lacks(was.reels[key], reel, own) if key in was.reels else {}
        if changes:
            there = there.with_reel(replace(reel, **changes))
            told[key] = listed([_words(name, value, reel) for name, value in changes.items()])
    return there, told


def _lacks(old: Reel, reel: Reel, own: OwnStocks) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    base = base_of(old, own)
    if base not in ("polyester", "unknown", base_of(reel, own)):
        changes |= {"base": base}
        changes |= {"base_seen": old.base_seen} if old.base_seen != reel.base_seen else {}
    signs = tuple(one for one in old.signs if one not in reel.signs)
    found = tuple(one for one in old.condition if one in _CONDITIONS and one not in reel.condition)
    if signs:
        changes["signs"] = (*reel.signs, *signs)
    if found or (signs and "ok" in reel.condition):
        changes["condition"] = (*(one for one in reel.condition if one != "ok"), *found)
    if old.set_aside and not reel.set_aside:
        changes["set_aside"] = old.set_aside
    return changes


def _words(name: str, value: Any, reel: Reel) -> str:
    """``base acetate``, ``signs vinegar``: what came, and not what stood there."""
    had = getattr(reel, name)
    new = [one for one in value if one not in had] if isinstance(value, tuple) else [value]
    return f"{name.replace('_', ' ')} {listed(new) or 'not ok'}"
