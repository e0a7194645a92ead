"""Reels of a load that was broken off: they lie in the chamber until somebody tells otherwise."""

from __future__ import annotations

from core.conditioning.loads.chamber_log import ChamberLog
from core.conditioning.loads.kept_loads import loads_of
from core.reels.reel import Reel
from core.shelf import Shelf


def left_inside(shelf: Shelf) -> dict[str, str]:
    """By reel, the load that was broken off and in whose chamber it lies, as far as anybody told.

    One that had its hours by then lies there like the rest. A reel that was told out lies there no more,
    nor does one that is in another chamber, warmed or captured since, and none once that chamber was run or
    loaded again.
    """
    if not any("broken_off" in record for record in shelf.of_kind("load").values()):
        return {}
    newest = {log.chamber: (key, log) for key, log in loads_of(shelf).items()}
    return {
        member.reel: key
        for key, log in newest.values()
        if log.broken_off is not None
        for member in log.members
        if member.out is None and _stayed(shelf.reels.get(member.reel), log)
    }


def _stayed(reel: Reel | None, log: ChamberLog) -> bool:
    if reel is None or reel.chamber or reel.past("transferred") or log.broken_off is None:
        return False
    return reel.conditioned_at is None or reel.conditioned_at <= log.broken_off
