"""A chamber holds one load at a time, and someone is home for it.

Kept as well by `facts/reading.py: _homes`, `bench/enter_loads.py: load_options`,
`bench/enter_loads.py: joins`, `solver/warmth.py: add_loads`; loosened in `answers/relaxing.py: _trays` and
`answers/relaxing.py: _home`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise

from core.conditioning.loads.touch_moments import touch_moments
from core.plan import Item
from core.planning.rules.case import Case, named, utc
from core.reels.reel import Reel


def chamber(case: Case) -> Iterator[str]:
    """Rule 2: home from start to last touch, trays, one temperature, moments as the treatment makes them."""
    studio = case.shelf.studio
    for load in case.loads:
        facts = studio.chamber(load.chamber)
        reels = [case.shelf.reels[m.reel] for m in load.members if m.reel in case.shelf.reels]
        if facts is None or not reels or len(reels) != len(load.members):
            yield f"{named(load)} is in no chamber, or with reels that are not on the shelf"
            continue
        if any(case.treatment(reel) is None for reel in reels):
            yield f"{named(load)} holds a reel that has no treatment"
            continue
        yield from _moments(case, load, reels)
        if case.running(load):
            continue
        taken = [facts.trays_for(reel.width) if reel.width else None for reel in reels]
        if None in taken or sum(one or 0 for one in taken) > facts.trays:
            yield f"{named(load)} takes more trays than there are"
        if len({t.temperature.number for reel in reels if (t := case.treatment(reel))}) > 1:
            yield f"{named(load)} mixes temperatures"
        if case.spans["home"].holder(utc(load.start), utc(load.touches[-1].end)) is None:
            yield f"{named(load)} is not inside one stretch at home"
    for facts in studio.chambers:
        own = [load for load in case.loads if load.chamber == facts.id]
        own.sort(key=lambda load: utc(load.start))
        for before, after in pairwise(own):
            if before.touches and utc(after.start) < utc(before.touches[-1].end):
                yield f"{named(after)} starts before {named(before)} is done"


def _moments(case: Case, load: Item, reels: list[Reel]) -> Iterator[str]:
    facts = case.chamber_of(load)
    outs = []
    for reel, member in zip(reels, load.members, strict=True):
        _, out, cool, playable = case.heat_of(load, reel)
        if case.at_once(load, member):
            early = out - case.start
            out, cool, playable = case.start, cool - early, playable - early
        outs.append(out)
        if (utc(member.out), utc(member.cool_until), utc(member.playable_until)) != (out, cool, playable):
            yield f"{named(load)} takes {reel.key} out at the wrong time"
    start = utc(load.start)
    after = [int((out - start) / timedelta(minutes=1)) for out in outs]
    due = {
        (do, start + timedelta(minutes=minute))
        for do, minute in touch_moments(0, after, int(facts.turn_every.number * 60))
    }
    if case.running(load):
        due = {(do, at) for do, at in due if case.start <= at <= case.until}
    told = {(touch.do, utc(touch.start)) for touch in load.touches}
    if due != told and not (case.running(load) and told <= due):
        yield f"{named(load)} is not touched when it should be"
    if any(utc(t.end) - utc(t.start) != timedelta(minutes=facts.touch_minutes) for t in load.touches):
        yield f"{named(load)} has a touch of the wrong length"
    if utc(load.end) != max(outs):
        yield f"{named(load)} does not end with its last take-out"
