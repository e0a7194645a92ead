"""A planned load that is no longer called for: nothing forbids it, and it takes a reason of the owner's."""

from __future__ import annotations

from core.conditioning.advisor import advice_of, heat_of
from core.plan import Item
from core.shelf import Shelf

#: Words of a tape that may be played: warmth is not what it waits for.
_NEEDS_NONE = ("play", "test first")


def asks_first(shelf: Shelf, item: Item) -> str:
    """Which reels of a planned load need no warmth by what is known now, in one line; empty where all do.

    What is only to be looked at before, or is inside already, is not told here.
    """
    told = []
    for key in item.reels if item.kind == "condition" else ():
        reel = shelf.reels.get(key)
        if reel is None or reel.chamber or advice_of(shelf, reel, item.start).word not in _NEEDS_NONE:
            continue
        heat = heat_of(shelf, reel, item.start)
        if heat.never is None and heat.asks is not None:
            told.append(f"{key} goes in for a reason of yours only: {heat.asks}")
    return "; ".join(told)
