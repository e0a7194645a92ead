"""The line-ups of an evening under way that stand: a plan made anew begins with them, and makes none again.

A plan holds a line-up before each transfer, in its bench window. Where the log tells that a deck stands lined
up in this window, that line-up is the plan's first item: a touch-up that ends as the rest of the plan begins.
"""

from __future__ import annotations

from datetime import datetime

from core.clock import later
from core.logbook.steps import deck_stands
from core.shelf import Shelf
from core.standing.gates import lined_up_since, setup_record
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class MadeBefore:
    """When a plan begins that holds them, and which decks stand so."""

    start: datetime
    decks: tuple[str, ...]


def made_before(shelf: Shelf, at: datetime) -> MadeBefore | None:
    """What stands at that moment, from which on the rest is planned; None where no deck stands lined up."""
    grid, minutes, decks = shelf.studio.minutes.grid, 0, []
    for deck in shelf.studio.decks:
        stands = deck_stands(shelf).get(deck.id)
        if stands is None or deck.lined_up is None or stands.setup_key != setup_record(deck.lined_up):
            continue
        if lined_up_since(shelf, stands.at, at):
            decks.append(deck.id)
            minutes += -(-deck.touch_up_minutes // grid) * grid
    start = later(at, minutes=-minutes)
    loaded = (reel.loaded_at for reel in shelf.reels.values() if reel.chamber)
    if not minutes or any(one is not None and start <= one <= at for one in loaded):
        return None
    return MadeBefore(start, tuple(decks))
