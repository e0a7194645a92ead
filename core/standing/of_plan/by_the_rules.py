"""Which barred reels are out of the score: those that the planner's own rules bar.

The table of advice may be stricter, by barring a reel with its reason; such a reel waits like any that is
left over, so that a plan looks no better for leaving out more.
"""

from __future__ import annotations

from datetime import datetime

from core.reels import needs
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import to_play
from core.tape.stocks import find_stock
from core.tape.written_like import written_like


def barred_by_the_rules(shelf: Shelf, reel: Reel, at: datetime) -> bool:
    """True for a barred reel that no plan may be asked for, by what is known of it at that moment.

    It has vinegar or mould, is written like a sticky stock, squeals without a cause, lacks a fact that every
    plan needs, no deck plays it, or it would need warmth that base, treatments or chambers do not allow.
    """
    own = shelf.own_stocks()
    sick = bool({"vinegar", "mould"} & reel.troubles)
    doubtful = find_stock(reel.stock, own) is None and written_like(reel.stock, own) is not None
    squeals = "squeal" in reel.troubles and not needs.sticky(reel, own)
    if sick or doubtful or squeals:
        return True
    return any(_no_way(shelf, part.reel, at) for part in to_play(shelf, reel))


def _no_way(shelf: Shelf, part: Reel, at: datetime) -> bool:
    """True where no deck plays that part of a reel, or nothing may warm it though it must be."""
    studio, own = shelf.studio, shelf.own_stocks()
    width, tracks, speed = part.width, part.tracks, part.speed
    if width is None or tracks is None or speed is None or needs.unknown_facts(part, studio):
        return True
    if not any(deck.takes(width, tracks, speed) for deck in studio.decks):
        return True
    if not needs.needs_conditioning(part, studio, at, own):
        return False
    room = any(chamber.takes(width) for chamber in studio.chambers)
    return needs.base_of(part, own) != "polyester" or studio.treatment(width) is None or not room
