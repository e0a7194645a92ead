"""A chamber load that has started."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from core.clock import write_time
from core.errors import Refused
from core.reels.needs import at_hand, never_heat
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.gates import unmet
from core.studio.studio import Chamber


def load(shelf: Shelf, chamber_id: str, keys: Sequence[str], at: datetime) -> Shelf:
    """The shelf with those reels in that chamber since that moment, to the minute: a reel keeps no seconds.

    Refused where a reel must never be warmed (nothing passes that gate), is not identified, is not at hand,
    has no treatment or no room, where temperatures differ, and where the chamber is busy.
    """
    chamber = shelf.studio.chamber(chamber_id)
    if chamber is None:
        known = ", ".join(one.id for one in shelf.studio.chambers) or "none"
        raise Refused(f"no chamber {chamber_id!r} in this studio (there: {known})")
    busy = [reel.key for reel in shelf.reels.values() if reel.chamber == chamber.id]
    if busy:
        raise Refused(f"chamber {chamber.id} holds {', '.join(busy)}: mark them conditioned first")
    reels = [shelf.reel(key) for key in dict.fromkeys(keys)]
    for reel in reels:
        _may_go_in(shelf, chamber, reel, at)
    _fits(shelf, chamber, reels)
    at = at.replace(second=0, microsecond=0)
    record = {"chamber": chamber.id, "at": write_time(at), "reels": [reel.key for reel in reels]}
    loaded = shelf.with_reel(*(replace(reel, chamber=chamber.id, loaded_at=at) for reel in reels))
    return loaded.with_record("load", f"{chamber.id} {write_time(at)}", record)


def _may_go_in(shelf: Shelf, chamber: Chamber, reel: Reel, at: datetime) -> None:
    own = shelf.own_stocks()
    why = never_heat(reel, own)
    if why is None and not reel.past("identified"):
        why = unmet(shelf, reel, "identified", at) or "not identified yet: look at it first"
    if why is None and reel.set_aside:
        why = f"set aside: {reel.set_aside}"
    if why is None and not at_hand(reel, shelf.studio, at):
        why = f"in chamber {reel.chamber}" if reel.chamber else "still cooling"
    if why is None and (reel.width is None or not chamber.takes(reel.width)):
        why = f"chamber {chamber.id} takes no {reel.width or 'reel of unknown width'}"
    if why is None and shelf.studio.treatment(reel.width) is None:
        why = f"the studio's file has no treatment for {reel.width}"
    if why is not None:
        raise Refused(f"{reel.key} does not go into chamber {chamber.id}: {why}")


def _fits(shelf: Shelf, chamber: Chamber, reels: Sequence[Reel]) -> None:
    taken = sum(chamber.trays_for(reel.width) or 0 for reel in reels if reel.width)
    if taken > chamber.trays:
        raise Refused(f"{len(reels)} reels take {taken} trays; chamber {chamber.id} has {chamber.trays}")
    treatments = [shelf.studio.treatment(reel.width) for reel in reels]
    warm = {treatment.temperature.number: treatment.temperature for treatment in treatments if treatment}
    if len(warm) > 1:
        raise Refused(f"one temperature a load, not {' and '.join(str(one) for one in warm.values())}")
