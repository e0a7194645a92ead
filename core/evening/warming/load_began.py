"""A load that began at another moment than was logged: corrected, its touches and hours with it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from core.conditioning.loads.held_then import held_then, lay_then
from core.conditioning.loads.kept_loads import changed_load, load_of, loads_of
from core.errors import Refused
from core.shelf import Shelf


def began(shelf: Shelf, load: str, at: datetime, now: datetime) -> Shelf:
    """The shelf with that load begun at that moment; what its reels say of it follows.

    Refused for a load that is over, for a moment to come, for one after what was logged in it, and for one at
    which another load lay in that chamber, or one of its tapes in another.
    """
    log = loads_of(shelf).get(load)
    inside = [reel for reel in shelf.reels.values() if load_of(shelf, reel) == load]
    if log is None or not inside:
        raise Refused(f"the load {load} is over: nothing is in its chamber")
    at = at.replace(second=0, microsecond=0)
    if at > now:
        raise Refused("a load begins now or earlier")
    logged = [*log.turns, *(one.at for one in log.readings), *(one.out for one in log.members if one.out)]
    if any(moment < at for moment in logged):
        raise Refused("something was logged in that load before then")
    chamber = shelf.studio.chamber(log.chamber)
    back = log.at if at < log.at else None
    held = held_then(shelf, chamber, at, back, apart=load) if chamber is not None else ""
    if held:
        raise Refused(f"{held}: this load began behind it")
    for reel in inside:
        lay = lay_then(shelf, reel.key, at, back, apart=load)
        if lay:
            raise Refused(f"{reel.key}: {lay}: this load began behind it")
    moved = changed_load(shelf, load, lambda kept: replace(kept, at=at))
    back = replace(log, at=at).as_if_from
    return moved.with_reel(*(replace(reel, loaded_at=back) for reel in inside))
