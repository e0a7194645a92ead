"""What must never go into heat, and what is barred from the deck.

Kept as well by `core/conditioning/advisor.py` and `core/standing/seen_first.py`, asked by
`facts/jobs.py: warmth_of`, `facts/jobs.py: _trays` and by `facts/jobs.py: barred`.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.conditioning.advisor import heat_of
from core.planning.rules.case import Case, named, utc
from core.reels import needs
from core.standing.seen_first import asks_first


def never_into_heat(case: Case) -> Iterator[str]:
    """Rule 3: polyester only, no vinegar, no mould; a barred reel is at most identified."""
    yield from _begins_unasked(case)
    for load in case.loads:
        for member in load.members:
            reel = case.shelf.reels.get(member.reel)
            fresh = reel is not None and not case.running(load)
            why = heat_of(case.shelf, reel, case.plan.start).never if reel is not None and fresh else None
            if why:
                yield f"{member.reel} in {named(load)}: {why}"
            if member.reel in case.out_now and case.running(load) and utc(member.out) > case.start:
                yield f"{member.reel} stays in {named(load)}, and must come out at once"
    for key, why in case.barred.items():
        reel = case.reels[key]
        heard = needs.to_be_heard(reel, case.shelf.studio)
        kinds = ("transfer", "verify") if heard else ("repair", "audition", "transfer", "verify")
        if any(case.of(kind, reel) for kind in kinds):
            yield f"{key} is worked on, but barred: {why}"
        if not heard and any(not case.running(load) for load in case.heats.get(key, ())):
            yield f"{key} is loaded, but barred: {why}"
        if needs.stays_closed(reel) and case.of("identify", reel):
            yield f"{key} has mould and is identified"


def _begins_unasked(case: Case) -> Iterator[str]:
    """No step at which heat or deck would ask: mould near it, a box that warns, a chamber not wiped."""
    fresh = [load for load in case.loads if not case.running(load)]
    for item in (*fresh, *case.bench):
        for reel in (case.reels[key] for key in item.reels if key in case.reels):
            why = asks_first(case.shelf, reel, item)
            if why is not None:
                yield f"{named(item)}: {why}"
