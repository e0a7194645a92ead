"""What another studio does to loads that run: nothing. A load keeps its hours, its turns and its set point.

What it keeps is said at once, and in the studio's place for as long as it runs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from core.conditioning.loads.began_with import set_point_as_begun, turned_as_begun
from core.conditioning.loads.kept_loads import (
    changed_load,
    changed_member,
    load_of,
    loads_of,
    running_load,
)
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.studio import Studio
from core.words import listed

#: In a load's record: the hours that its reels keep while they are in it, by reel, as they were typed.
KEPT = "began_with"


def with_studio(shelf: Shelf, studio: Studio) -> Shelf:
    """The shelf with that studio; loads that run keep their hours, their turns and their set point."""
    return hours_kept(shelf, replace(shelf, studio=studio))


def hours_kept(before: Shelf, after: Shelf) -> Shelf:
    """The shelf after, on which tape that was in the heat before has the hours that it was to have.

    They stand in the reel's own ``treatment_hours`` while it is inside, so that every face counts by them;
    the load's turns and set point stand in its log.
    """
    after = _cool_kept(before, _log_kept(before, after))
    for reel in _inside(before):
        there = after.reels.get(reel.key)
        was = before.studio.treatment(reel.width)
        now = after.studio.treatment(there.width) if there is not None else None
        stays = there is not None and (there.chamber, there.loaded_at) == (reel.chamber, reel.loaded_at)
        if there is None or not stays or reel.treatment_hours or there.treatment_hours or not was:
            continue
        if now is None or was.hours.number != now.hours.number:
            after = _kept(after, replace(there, treatment_hours=was.hours))
    return after


def without_kept(shelf: Shelf, reel: Reel) -> Reel:
    """The reel as it leaves its newest load: hours that it only kept while it was inside are not its own."""
    newest = next((key for key, log in reversed([*loads_of(shelf).items()]) if log.member(reel.key)), "")
    told = shelf.of_kind("load").get(newest, {}).get(KEPT, {})
    kept = reel.treatment_hours is not None and told.get(reel.key) == reel.treatment_hours.text
    return replace(reel, treatment_hours=None) if kept else reel


def retimed(before: Shelf, after: Shelf) -> Iterator[str]:
    """A sentence for the hours, turns and set point that loads keep since the studio says others now."""
    for chamber in before.studio.chambers:
        key = running_load(before, chamber.id)
        if key is None:
            continue
        inside = [reel for reel in _inside(before) if reel.chamber == chamber.id]
        yield from _keep_told(before, after, inside)
        was = {words for _, words in _keeps(before, chamber.id)}
        told = [words for key, words in _keeps(after, chamber.id) if key != "hours"]
        yield from (words for words in told if words not in was)


def kept_told(shelf: Shelf, table: str, owner: str, key: str) -> str:
    """What loads that run keep in place of that key of a chamber or a treatment; empty where nothing.

    ``owner`` is the chamber's id, or the treatment's width.
    """
    told = []
    for chamber in shelf.studio.chambers:
        inside = [reel for reel in _inside(shelf) if reel.chamber == chamber.id]
        of_width = table == "treatment" and any(str(reel.width) == owner for reel in inside)
        if of_width or (table == "chamber" and chamber.id == owner):
            told += [words for name, words in _keeps(shelf, chamber.id) if name == key]
    return "; ".join(told)


def _keeps(shelf: Shelf, chamber_id: str) -> Iterator[tuple[str, str]]:
    """The key of the studio that the load in that chamber does not follow, and what it keeps, in words."""
    running, chamber = running_load(shelf, chamber_id), shelf.studio.chamber(chamber_id)
    if running is None or chamber is None:
        return
    log = loads_of(shelf)[running]
    turned = turned_as_begun(chamber, log).turn_every
    if turned != chamber.turn_every:
        words = f"the load in {chamber_id} now goes on being turned every {turned}"
        yield "turn_every", f"{words}: {chamber.turn_every} counts from the next load"
    for reel, hours in shelf.of_kind("load").get(running, {}).get(KEPT, {}).items():
        yield "hours", f"{reel}, in {chamber_id} now, keeps its {hours}"
    usual = next(
        (one.temperature for r in _inside(shelf) if (one := shelf.studio.treatment(r.width)) is not None
         and r.chamber == chamber_id), None
    )  # fmt: skip
    if usual is not None and (kept := set_point_as_begun(log, usual)) != str(usual):
        words = f"the load in {chamber_id} now keeps its {kept}"
        yield "temperature", f"{words}: {usual} counts from the next load"


def _log_kept(before: Shelf, after: Shelf) -> Shelf:
    """The shelf after, on which each load that ran before has the turns and the set point that it had."""
    for chamber in before.studio.chambers:
        load, now = running_load(before, chamber.id), after.studio.chamber(chamber.id)
        if load is None or now is None or load not in loads_of(after):
            continue
        was, log = loads_of(before)[load], loads_of(after)[load]
        turns = turned_as_begun(chamber, was).turn_every.number
        same = turns == turned_as_begun(now, log).turn_every.number
        if not same or was.celsius != log.celsius:
            keeps = partial(replace, turn_hours=log.turn_hours if same else turns, celsius=was.celsius)
            after = changed_load(after, load, keeps)
    return after


def _cool_kept(before: Shelf, after: Shelf) -> Shelf:
    """The shelf after, on which tape in the heat is to cool as long at least as it was to."""
    for reel in _inside(before):
        there, load = after.reels.get(reel.key), load_of(before, reel)
        was = loads_of(before)[load].member(reel.key) if load is not None else None
        if there is None or load is None or load != load_of(after, there) or was is None or was.cool is None:
            continue
        now = after.studio.treatment(there.width)
        if now is None or now.cool.number < was.cool:
            after = changed_member(after, load, reel.key, partial(replace, cool=was.cool))
    return after


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
        there = after.reels.get(reel.key)
        new = after.studio.treatment(there.width) if there is not None else None
        now = there.treatment_hours if there is not None else None
        if reel.treatment_hours is None and now is not None:
            other = new.hours.text if new is not None else "no treatment"
            said.setdefault((now.text, other), []).append(reel.key)
    for (kept, other), keys in said.items():
        keep, card = ("keeps its", "its card") if len(keys) == 1 else ("keep their", "their cards")
        yield (
            f"{listed(keys)}, in {before.reels[keys[0]].chamber} now, {keep} {kept}: {other} counts from the "
            f"next load (treatment_hours on {card} emptied, it counts now)"
        )
