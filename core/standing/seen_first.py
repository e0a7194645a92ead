"""What heat and deck would stop at until somebody looked, wiped or answered: no plan holds a step of it.

A tape that was beside mould, after it on a deck or too hot, or whose box warns, is left out with its reason
until `reelturn tonight looked` was told of it; so is what only a chamber could warm that held mould, until it
was wiped.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from core.conditioning.spreading.shared_air import mouldy_chamber, to_be_looked_at
from core.plan import Item
from core.reels.needs import needs_conditioning, to_transfer
from core.reels.reel import Reel
from core.remembered import once_a_shelf
from core.shelf import Shelf


def seen_first(shelf: Shelf, reel: Reel) -> str | None:
    """Why nothing but a look is planned with a tape, to follow its key; None for one that may be planned."""
    played = to_transfer(reel) or reel.calibration
    return (to_be_looked_at(shelf, reel) or None) if played else None


@once_a_shelf
def mouldy_chambers(shelf: Shelf) -> Mapping[str, str]:
    """By chamber, why nothing is loaded there before it was wiped; those that are clean are not in it."""
    told = {one.id: mouldy_chamber(shelf, one.id) for one in shelf.studio.chambers}
    return {chamber: why for chamber, why in told.items() if why}


def wiped_first(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """Why a tape that must be warmed is in no load yet: every chamber that takes it held mould."""
    mouldy = mouldy_chambers(shelf)
    if not mouldy or reel.width is None:
        return None
    takes = [one.id for one in shelf.studio.chambers if one.takes(reel.width)]
    if not takes or any(one not in mouldy for one in takes):
        return None
    needs_heat = needs_conditioning(reel, shelf.studio, at, shelf.own_stocks())
    return "; ".join(mouldy[one] for one in takes) if needs_heat else None


def asks_first(shelf: Shelf, reel: Reel, item: Item) -> str | None:
    """Why a step that is planned with that reel asks by what is known now; None for one that just begins."""
    if item.kind in ("identify", "verify") or (item.kind == "condition" and reel.chamber):
        return None
    held = mouldy_chambers(shelf).get(item.chamber) if item.kind == "condition" else None
    seen = seen_first(shelf, reel)
    return held or (f"{reel.key} {seen}" if seen else None)
