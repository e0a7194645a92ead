"""What a calibration tape of another width leaves unset, and which tape of the reel's own width is there."""

from __future__ import annotations

from datetime import datetime

from core.conditioning.advisor import barred
from core.lineup.on_shelf import setup_of_words
from core.lineup.reach import Reach, left_unset, of_other_width, reach
from core.plan import Item
from core.reels.needs import needs_conditioning, to_look_at
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.calibration import fits, nearness
from core.studio.setup import width_key


def other_width(shelf: Shelf, align: Item, keys: tuple[str, ...]) -> str:
    """What the tape of a line-up leaves unset of those reels' width; empty where all are of its width."""
    tape = shelf.reels.get(align.calibration)
    others = of_other_width(tape, [shelf.reels[key] for key in keys if key in shelf.reels])
    if tape is None or not others:
        return ""
    own = _own_width(shelf, align, tape, others[0])
    return f"{left_unset(tape, others)}{f'; {own}' if own else ''}"


def read_by(shelf: Shelf, align: Item, reels: list[Reel]) -> Reach | None:
    """What the line-up's tape reaches of those reels; None where none tells, and on a deck of one width."""
    deck = shelf.studio.deck(align.deck)
    told = [one for one in reels if one.tracks and width_key(one.width) is not None]
    if deck is None or len(deck.widths) < 2 or not told:
        return None
    return reach(shelf.reels.get(align.calibration), told)


def _own_width(shelf: Shelf, align: Item, tape: Reel, reel: Reel) -> str:
    """Which tape of the reel's width would be named in its place, were it looked at or warmed."""
    deck, setup = shelf.studio.deck(align.deck), setup_of_words(shelf, dict(align.setup))
    if deck is None:
        return ""
    for one in shelf.reels.values():
        same = one.calibration and width_key(one.width) == width_key(reel.width) and fits(deck, setup, one)
        if (
            not same
            or barred(shelf, one, align.start)
            or nearness(setup, one)[:2] > nearness(setup, tape)[:2]
        ):
            continue
        wants = _wants(shelf, one, align.start)
        if wants:
            return f"{one.key} is {one.width}: {wants} in time, it would be taken"
    return ""


def _wants(shelf: Shelf, tape: Reel, at: datetime) -> str:
    """What keeps it from being taken and can be done; empty where nothing can, or need be."""
    if barred(shelf, tape, at) is not None:
        return ""
    if to_look_at(tape):
        return "looked at"
    return "warmed" if needs_conditioning(tape, shelf.studio, at, shelf.own_stocks()) else ""
