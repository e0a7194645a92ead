"""What a planned step takes for granted: said wherever the step is, so that it looks provisional."""

from __future__ import annotations

from collections.abc import Sequence

from core.plan import Item
from core.words import listed

SIGN = "?"
"""Stands behind a step's name where there is no room for words."""


def provisional(assumes: Sequence[str]) -> str:
    """``provisional: takes condition ok and level 250 nWb/m for granted``; empty where nothing is assumed."""
    return f"provisional: takes {listed(tuple(assumes))} for granted" if assumes else ""


def provisional_words(item: Item) -> str:
    """The same for any item: a load names the reels that nobody has looked at."""
    if item.members:
        return provisional([f"{listed(m.assumes)} of {m.reel}" for m in item.members if m.assumes])
    return provisional(item.assumes)


def signed(item: Item) -> tuple[str, ...]:
    """The reels of an item, each with the sign behind it where the item takes something for granted of it."""
    guessed = {member.reel for member in item.members if member.assumes}
    return tuple(f"{reel}{SIGN}" if reel in guessed or item.assumes else reel for reel in item.reels)
