"""Widths that the studio's file gives no treatment, of which reels wait to be warmed."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from core.conditioning.advisor import advice_of
from core.conditioning.reel_advice import no_treatment
from core.quantities import Quantity
from core.shelf import Shelf
from core.studio.setup import width_key
from core.words import counted


def untreated(shelf: Shelf, at: datetime) -> tuple[str, ...]:
    """A sentence for every such width: which reels wait for it, and what is proposed."""
    waiting: dict[Fraction | None, tuple[Quantity, list[str]]] = {}  # 6,3 mm and 1/4 in are one width
    for reel in shelf.reels.values():
        lacks = reel.width is not None and shelf.studio.treatment(reel.width) is None
        if reel.width is not None and lacks and advice_of(shelf, reel, at).word == "warm":
            waiting.setdefault(width_key(reel.width), (reel.width, []))[1].append(reel.key)
    return tuple(f"{no_treatment(width)} ({_whom(keys)})" for width, keys in waiting.values())


def _whom(keys: list[str]) -> str:
    more = len(keys) - 1
    return f"{keys[0]} and {counted(more, 'more reel')}" if more else keys[0]
