"""Reels that were put back to their places at an evening's end, and those that were not.

Kept as a ``put back`` record under the reel's key: when, and where. Nobody has to tick anything: only on an
evening on which some reels were ticked do the others count as still lying about.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from core.clock import evening_of
from core.errors import Refused
from core.logbook.places import PutAway, put_away
from core.logbook.steps import taken
from core.logbook.typed import with_entry
from core.shelf import Shelf

#: Steps for which a reel is taken from its place, whole or as the calibration reel of a line-up.
_IN_HAND = ("identify", "repair", "audition", "transfer", "align", "wind")


def put_back(shelf: Shelf, keys: Iterable[str], at: datetime, place: str = "") -> Shelf:
    """The shelf with those reels in their places since that moment.

    ``place`` is where they were put, for reels of which no place was written down: it is kept as theirs.
    Refused for a reel that lies in a chamber.
    """
    for key in keys:
        reel = shelf.reel(key)
        if reel.chamber:
            raise Refused(f"{key} is in chamber {reel.chamber}")
        if place.strip() and not reel.location:
            reel = replace(reel, location=place.strip())
            shelf = shelf.with_reel(reel)
        shelf = with_entry(shelf, key, PutAway(key, at, reel.location))
    return shelf


def not_back(shelf: Shelf, keys: Iterable[str]) -> Shelf:
    """The shelf with those reels out of their places again: the tick was a wrong one."""
    for key in keys:
        shelf = shelf.with_record("put back", key, None)
    return shelf


def back_since(shelf: Shelf, key: str, at: datetime) -> datetime | None:
    """When that reel was put back on the evening of that moment, after it was last in hand; None else."""
    kept = put_away(shelf).get(key)
    if kept is None:
        return None
    moment = kept.at.astimezone(at.tzinfo)
    used = _last_used(shelf, key)
    return moment if evening_of(moment) == evening_of(at) and (used is None or used <= moment) else None


def lies_about(shelf: Shelf, key: str, at: datetime) -> date | None:
    """The evening after which that reel was not put back, others having been ticked; None if it is not so."""
    used = _last_used(shelf, key)
    if used is None:
        return None
    evening = evening_of(used.astimezone(at.tzinfo))
    kept = put_away(shelf)
    mine = kept.get(key)
    if evening >= evening_of(at) or (mine is not None and mine.at >= used):
        return None
    ticked = any(evening_of(one.at.astimezone(at.tzinfo)) == evening for one in kept.values())
    return evening if ticked else None


def _last_used(shelf: Shelf, key: str) -> datetime | None:
    """When that reel was last taken into the hands for a step that was begun, or is over."""
    begun = [
        one.started or one.finished
        for one in taken(shelf).values()
        if one.kind in _IN_HAND and one.state in ("running", "done") and key in (one.subject, one.calibration)
    ]
    return max((at for at in begun if at is not None), default=None)
