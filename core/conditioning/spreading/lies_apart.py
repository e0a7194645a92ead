"""Where a tape goes that harms others beside it: one rule for card, order, closing look and the deck."""

from __future__ import annotations

from core.reels.reel import Reel


def lies_apart(reel: Reel) -> str:
    """Where a tape goes that harms others beside it; empty for any other."""
    if "mould" in reel.troubles:
        return "apart from all tapes, in a closed bag, with gloves and a mask"
    if "white powder" in reel.troubles:
        return "apart, bagged, gloves and mask, till a magnifier shows no mould"
    return "apart from other tapes, kept cold" if "vinegar" in reel.troubles else ""
