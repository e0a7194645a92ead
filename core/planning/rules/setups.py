"""The set-up of an align as it is compared."""

from __future__ import annotations

from collections.abc import Mapping

from core.plan import Item
from core.quantities import Kind, Quantity, read_quantity
from core.shelf import Shelf
from core.studio.setup import Setup


def as_setup(item: Item, read: Mapping[str, Quantity] = {}) -> Setup:
    """The set-up of an align. ``read``: quantities read before, by their text."""
    told = dict(item.setup)
    speed = _quantity(told.get("speed", ""), "speed", read)
    level = _quantity(told.get("level", ""), "flux", read)
    return Setup(speed, told.get("eq", ""), level, told.get("noise_reduction", ""))


def _quantity(text: str, kind: Kind, read: Mapping[str, Quantity]) -> Quantity | None:
    return (read.get(text) or read_quantity(text, kind)) if text else None


def read_before(shelf: Shelf) -> dict[str, Quantity]:
    """Speeds and levels as the shelf has read them, so that their words need no unit library again."""
    decks = [deck.lined_up for deck in shelf.studio.decks if deck.lined_up]
    parts = [one.setup for key in shelf.reels for one in shelf.segments_of(key)]
    assumed = Setup(None, "", shelf.studio.assume_level)
    setups = [*decks, *parts, assumed, *(reel.setup for reel in shelf.reels.values())]
    return {str(one): one for setup in setups for one in (setup.speed, setup.level) if one is not None}
