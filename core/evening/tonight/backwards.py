"""Playing a tape that lies tails out backwards, from its tail, in place of winding it first.

Common practice where a deck's transport plays both ways: the tape is spared a fast wind, and its capture is
turned round afterwards. Nothing that undoes noise reduction may stand between deck and capture, since it
works with time; what is turned round is decoded then. The planned minutes keep the wind: what is saved is
told before the pass, and is spare.
"""

from __future__ import annotations

from core.evening.tonight.sheet import Step
from core.evening.tonight.transfer import transfer_of
from core.reels.length import length_of
from core.reels.minutes import wind_speed
from core.reels.winding import slow_minutes
from core.shelf import Shelf


def may_run_backwards(shelf: Shelf, step: Step) -> str:
    """What running that step's next pass backwards would mean, in words; empty where it is not offered.

    Offered where the deck plays both ways, the whole tape is played from one of its ends, it is written that
    it lies tails out, and nothing decodes noise reduction on the way.
    """
    if step.kind != "transfer" or step.item is None or step.subject not in shelf.reels:
        return ""
    deck, reel = shelf.studio.deck(step.item.deck), shelf.reel(step.subject)
    part = transfer_of(shelf, step)
    if deck is None or not deck.reverse_play or part.stands is not None or part.span is not None:
        return ""
    if reel.wind != "tails" or reel.decoded:
        return ""
    length = length_of(reel, shelf.studio)
    saved = ""
    if length is not None:
        slow = slow_minutes(reel, shelf.studio, shelf.own_stocks())
        minutes = slow or float(length.inches / wind_speed(reel, deck, shelf.own_stocks()) / 60)
        saved = f"saves a {'slow ' if slow else ''}wind of {max(1, round(minutes))} min; "
    return f"{saved}its files are turned round after it, and it lies heads out then"
