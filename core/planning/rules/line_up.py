"""Every transfer is behind a line-up to its set-up.

Kept as well by `facts/reading.py: _deck` (helper), `bench/enter_transfers.py: find_place`,
`bench/follow.py: _align`, `solver/line_ups.py: add_line_ups`; by hand
`core/evening/tonight/hours_asked.py: outside_hours`; loosened in `answers/relaxing.py: _helper`.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.plan import Item
from core.planning.rules.calibration import names_calibration
from core.planning.rules.case import Case, named, utc
from core.planning.rules.setups import as_setup, read_before
from core.standing.left_to_play import Transfer


def line_up(case: Case) -> Iterator[str]:
    """Rule 6: each transfer is behind a line-up to its set-up in its window, with a fit calibration reel."""
    read = read_before(case.shelf)
    for deck in case.shelf.studio.decks:
        stands = deck.lined_up.key if deck.lined_up else None
        window = None
        for item in case.by_deck.get(deck.id, ()):
            here = case.spans["bench"].holder(utc(item.start), utc(item.end))
            if item.kind == "align":
                asked = as_setup(item, read)
                setup = asked.key
                if not item.full and stands != setup:
                    yield f"{named(item)} is a touch-up, but the deck stands on another set-up"
                helper = case.spans["helper"].holder(utc(item.start), utc(item.end))
                if item.full and deck.setup_needs_helper and helper is None:
                    yield f"{named(item)} without the helper"
                yield from names_calibration(case, deck, item, asked)
                stands, window = setup, here
            elif item.kind == "transfer":
                if window is None or window != here:
                    yield f"{named(item)} without a line-up in its window"
                elif all(one.reel.setup.key != stands for one in parts_of(case, item)):
                    yield f"{named(item)} on the wrong set-up"


def parts_of(case: Case, item: Item) -> tuple[Transfer, ...]:
    """The transfers that are left of the reel and are called as the item calls its own."""
    left = case.to_play(case.reels[item.reel])
    return tuple(one for one in left if one.name == item.segment)
