"""What is warmed needs it, and is played when it has cooled and while it lasts.

Kept as well by `facts/jobs.py: warmth_of` (and when at hand), `bench/lists.py: _warmed`,
`solver/warmth.py: add_loads`, `solver/constraints.py: add_playable`; loosened in
`answers/relaxing.py: _playable`.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from core.planning.rules.case import Case, named, utc
from core.reels import needs
from core.reels.reel import Reel


def conditioning(case: Case) -> Iterator[str]:
    """Rule 4: what is heated needs it, once; nothing is played uncooled or past its playable time."""
    studio, at = case.shelf.studio, case.plan.start
    for key, loads in case.heats.items():
        reel = case.reels.get(key)
        if reel is None or case.treatment(reel) is None:
            continue
        fresh = [load for load in loads if not case.running(load)]
        if len(loads) > 1 and not reel.calibration:
            yield f"{key} is conditioned {len(loads)} times"
        again = reel.key not in {m.reel for load in loads if case.running(load) for m in load.members}
        wanted = needs.needs_conditioning(reel, studio, at, case.own) or needs.may_be_conditioned_again(
            reel, studio, at, case.own
        )
        if fresh and not wanted and (again or not reel.calibration):
            yield f"{key} is conditioned without need"
        known = case.known_from(reel)
        for load in fresh:
            if utc(load.start) < case.cooled(reel):
                yield f"{key} is loaded before it has cooled"
            if known is None or utc(load.start) < known:
                yield f"{key} is loaded before it is identified, or on the evening of its look"
        for before, after in pairwise(sorted(loads, key=lambda load: utc(load.start))):
            if utc(after.start) < case.heat_of(before, reel)[2]:
                yield f"{key} is loaded again before it has cooled"
    for reel in case.transferable():
        yield from _played(case, reel)
    yield from _looked_at_in_the_heat(case)


def _looked_at_in_the_heat(case: Case) -> Iterator[str]:
    """A reel in a load that runs is opened and handled only when it is out and has cooled."""
    for key, loads in case.heats.items():
        reel = case.reels.get(key)
        if reel is None or case.treatment(reel) is None:
            continue
        for load in loads:
            if not case.running(load) or any(
                case.at_once(load, one) for one in load.members if one.reel == key
            ):
                continue
            cool = case.heat_of(load, reel)[2]
            yield from (
                f"{named(look)} before the reel has cooled"
                for look in case.of("identify", reel)
                if utc(look.start) < cool
            )


def _played(case: Case, reel: Reel) -> Iterator[str]:
    studio = case.shelf.studio
    played = [item for kind in ("repair", "audition", "transfer") for item in case.of(kind, reel)]
    if not played:
        return
    loads = case.heats.get(reel.key, [])
    ready, last = case.cooled(reel), needs.playable_until(reel, studio)
    sticky = needs.sticky(reel, case.own)
    if loads and case.treatment(reel) is not None:
        _, _, ready, last = case.heat_of(loads[-1], reel)
    elif needs.needs_conditioning(reel, studio, case.plan.start, case.own):
        yield f"{reel.key} is played without its conditioning"
    for item in played:
        if utc(item.start) < ready:
            yield f"{named(item)} before the reel has cooled"
        if item.kind == "transfer" and sticky and last is not None and utc(item.end) > utc(last):
            yield f"{named(item)} after the reel's playable time"
