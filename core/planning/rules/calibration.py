"""A line-up names a calibration reel that would do, and of several the nearest.

Kept as well by `facts/reading.py: fitting`, `bench/enter_transfers.py: calibrated`,
`bench/calibration.py: with_calibrations`, `solver/fits.py: add_calibrations`,
`solver/line_ups.py: fit_stretches`; loosened in `answers/relaxing.py: _calibration`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.conditioning.advisor import barred
from core.plan import Item
from core.planning.rules.case import Case, named, utc
from core.reels import needs
from core.reels.assumed import as_known
from core.reels.reel import Reel
from core.standing.calibration import fits, nearness
from core.standing.seen_first import seen_first, wiped_first
from core.studio.setup import Setup
from core.studio.studio import Deck


def names_calibration(case: Case, deck: Deck, item: Item, setup: Setup) -> Iterator[str]:
    """Rule 6: one that fits, is identified, at hand and playable for the whole length; none if none fits."""
    fitting = [reel for reel in case.calibrations if _may_serve(case, deck, setup, reel)]
    if not item.calibration:
        if fitting and deck.calibration_needed:
            yield f"{named(item)} names no calibration reel, and {fitting[0].key} fits"
        if item.by not in ("tones", "as it stands"):
            yield f"{named(item)} names no calibration reel, and not by what it is lined up"
        return
    reel = next((one for one in fitting if one.key == item.calibration), None)
    if reel is None:
        yield f"{named(item)}: {item.calibration} is no calibration reel that fits {setup} on {deck.id}"
        return
    why = not_ready(case, reel, utc(item.start), utc(item.end))
    if why:
        yield f"{named(item)}: {reel.key} {why}"
    mine = nearness(setup, reel)[:2]
    for other in fitting:
        nearer = nearness(setup, other)[:2] < mine
        if nearer and not_ready(case, other, utc(item.start), utc(item.end)) is None:
            yield f"{named(item)} names {reel.key}, and {other.key} is nearer"


def _may_serve(case: Case, deck: Deck, setup: Setup, reel: Reel) -> bool:
    told = case.shelf.reels[reel.key]
    if not fits(deck, setup, reel) or _to_come_out(case, told):
        return False
    known = as_known(case.comes_out(told), case.shelf.studio, case.own)
    return barred(case.shelf, known, case.plan.start) is None


def _to_come_out(case: Case, reel: Reel) -> bool:
    """True for one that is in the heat and to come out now, or past its hours."""
    overdue = bool(reel.chamber) and not case.heats.get(reel.key)
    return reel.key in case.out_now or overdue


def not_ready(case: Case, reel: Reel, start: datetime, end: datetime) -> str | None:
    """Why a calibration reel cannot be lined up with then; None if it can."""
    if seen_first(case.shelf, reel) or wiped_first(case.shelf, case.comes_out(reel), case.plan.start):
        return "is to be looked at first"
    looked = any(utc(i.end) <= start for i in case.of("identify", reel))
    if needs.to_look_at(case.shelf.reels[reel.key]) and not looked:
        return "is not identified by then"
    heats = [case.heat_of(load, reel) for load in case.heats.get(reel.key, ())]
    if start < case.cooled(reel) or any(heat[0] < end and start < heat[2] for heat in heats):
        return "is not at hand"
    done = [heat for heat in heats if heat[2] <= start]
    if needs.sticky(reel, case.own):
        last = done[-1][3] if done else needs.playable_until(reel, case.shelf.studio)
        lapsed = not done and needs.needs_conditioning(reel, case.shelf.studio, case.plan.start, case.own)
        if lapsed or (last is not None and end > utc(last)):
            return "is not playable then"
    return None
