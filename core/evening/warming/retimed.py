"""What another studio does to loads that run: a load keeps the hours with which it began.

Its turns and its set point are the chamber's and the width's: those go on as the studio says now, and that is
said at once, since tape is in the heat by then.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from core.conditioning.loads.kept_loads import changed_load, loads_of, running_load
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.studio import Studio
from core.words import listed

#: In a load's record: the hours that its reels keep while they are in it, by reel, as they were typed.
KEPT = "began_with"


def with_studio(shelf: Shelf, studio: Studio) -> Shelf:
    """The shelf with that studio; reels that are in the heat keep the hours that they were to have."""
    return hours_kept(shelf, replace(shelf, studio=studio))


def hours_kept(before: Shelf, after: Shelf) -> Shelf:
    """The shelf after, on which tape that was in the heat before has the hours that it was to have.

    They stand in the reel's own ``treatment_hours`` while it is inside, so that every face counts by them.
    """
    for reel in _inside(before):
        was, now = before.studio.treatment(reel.width), after.studio.treatment(reel.width)
        there = after.reels.get(reel.key)
        stays = there is not None and (there.chamber, there.loaded_at) == (reel.chamber, reel.loaded_at)
        if there is None or not stays or reel.treatment_hours or there.treatment_hours or not was or not now:
            continue
        if was.hours.number != now.hours.number:
            after = _kept(after, replace(there, treatment_hours=was.hours))
    return after


def without_kept(shelf: Shelf, reel: Reel) -> Reel:
    """The reel as it leaves its newest load: hours that it only kept while it was inside are not its own."""
    newest = next((key for key, log in reversed([*loads_of(shelf).items()]) if log.member(reel.key)), "")
    told = shelf.of_kind("load").get(newest, {}).get(KEPT, {})
    kept = reel.treatment_hours is not None and told.get(reel.key) == reel.treatment_hours.text
    return replace(reel, treatment_hours=None) if kept else reel


def retimed(before: Shelf, after: Shelf) -> Iterator[str]:
    """A sentence for the hours that tapes in the heat keep, for other turns, and for another set point."""
    for chamber in before.studio.chambers:
        key, now = running_load(before, chamber.id), after.studio.chamber(chamber.id)
        if key is None or now is None:
            continue
        inside = [reel for reel in _inside(before) if reel.chamber == chamber.id]
        yield from _keep_told(before, after, inside)
        was, log = loads_of(before)[key], loads_of(after).get(key)
        if log is not None and log.celsius != was.celsius and log.celsius is not None:
            yield f"the load in {chamber.id} now is to be at {log.celsius:g} °C from here on: set the chamber"
        if now.turn_every.number != chamber.turn_every.number:
            yield f"the load in {chamber.id} now is turned every {now.turn_every} from here on"


def _inside(shelf: Shelf) -> list[Reel]:
    return [reel for reel in shelf.reels.values() if reel.chamber and reel.loaded_at is not None]


def _kept(shelf: Shelf, reel: Reel) -> Shelf:
    """The shelf with that reel, and its load's record telling that the hours are only kept."""
    load = running_load(shelf, reel.chamber)
    if load is None or reel.treatment_hours is None:
        return shelf.with_reel(reel)
    noted = changed_load(shelf.with_reel(reel), load, lambda log: log)
    record = noted.of_kind("load")[load]
    kept = {**record.get(KEPT, {}), reel.key: reel.treatment_hours.text}
    return noted.with_record("load", load, {**record, KEPT: kept})


def _keep_told(before: Shelf, after: Shelf, inside: list[Reel]) -> Iterator[str]:
    said: dict[tuple[str, str], list[str]] = {}
    for reel in inside:
        there, new = after.reels.get(reel.key), after.studio.treatment(reel.width)
        now = there.treatment_hours if there is not None else None
        if reel.treatment_hours is None and now is not None and new is not None:
            said.setdefault((now.text, new.hours.text), []).append(reel.key)
    for (kept, other), keys in said.items():
        keep, card = ("keeps its", "its card") if len(keys) == 1 else ("keep their", "their cards")
        yield (
            f"{listed(keys)}, in {before.reels[keys[0]].chamber} now, {keep} {kept}: {other} counts from the "
            f"next load (treatment_hours on {card} emptied, it counts now)"
        )
