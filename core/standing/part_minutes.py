"""Minutes and seconds of what is left of a tape, or of one of its parts."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from core.reels import minutes, needs
from core.reels.length import play_seconds
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import Transfer
from core.studio.studio import Deck, Studio


def part_minutes(one: Transfer, deck: Deck, studio: Studio, own: needs.OwnStocks, at: datetime) -> int:
    """Minutes on that deck of the passes that are left of a transfer, as the tape stands at that moment."""
    begun = one.left_to_run(play_seconds(one.reel, studio) or Fraction(0), at)
    return minutes.transfer_minutes(one.reel, deck, studio, own=own, left=len(one.left), begun=begun)


def whole_play(shelf: Shelf, reel: Reel) -> Fraction:
    """Seconds that a verify listens over: the whole tape, or its parts where that is not known."""
    whole = play_seconds(reel, shelf.studio)
    if whole is not None:
        return whole
    return sum((one.end - one.start for one in shelf.segments_of(reel.key)), start=Fraction(0))
