"""Whether the kept plan still fits the shelf: what it was made from, held against what is there now."""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from core.clock import later, minutes_between
from core.plan import Plan
from core.reels.reel import STAGES, Reel
from core.shelf import Shelf
from core.tape.where import figure
from core.words import day_text

_REACHES = {
    "identify": "identified",
    "condition": "conditioned",
    "transfer": "transferred",
    "verify": "verified",
}


def made_from(shelf: Shelf) -> dict[str, Any]:
    """What a plan made now rests on, in short: kept beside the plan."""
    return {
        "studio": _sum(
            replace(shelf.studio, decks=tuple(replace(d, lined_up=None) for d in shelf.studio.decks))
        ),
        "songs": _sum([(s.key, s.album, s.priority, s.needs) for s in shelf.songs.values()]),
        "segments": _sum(shelf.segments),
        "stocks": _sum(sorted(shelf.of_kind("stock").items())),
        "wishes": _sum(sorted(shelf.of_kind("pin").items())),
        "wished": list(shelf.of_kind("pin")),
        "reels": {reel.key: _facts(reel) for reel in shelf.reels.values()},
    }


def _sum(value: Any) -> str:
    return f"{zlib.crc32(repr(value).encode()):08x}"


def _facts(reel: Reel) -> list[Any]:
    still = (
        reel.role, reel.width, reel.tracks, reel.setup.key, reel.stock, reel.base, reel.thickness,
        reel.reel_size, reel.length, reel.pack_diameter, reel.hub_diameter, reel.treatment_hours,
        reel.set_aside,
    )  # fmt: skip
    return [_sum(still), reel.stage, reel.splices or 0, ";".join(reel.condition)]


def why_stale(shelf: Shelf, plan: Plan, then: Mapping[str, Any], now: datetime) -> str | None:
    """A sentence on what changed so that the plan does not fit any more; None while it does."""
    return next(_reasons(shelf, plan, then, now), None)


def _reasons(shelf: Shelf, plan: Plan, then: Mapping[str, Any], now: datetime) -> Iterator[str]:
    present = made_from(shelf)
    for name, words in (
        ("studio", "the studio's file has changed"),
        ("songs", "songs, their priority or what they need have changed"),
        ("segments", "the parts of a tape have changed"),
        ("stocks", "the owner's rows of the stocks table have changed"),
        ("wishes", "the wishes have changed"),
    ):
        if present[name] != then.get(name):
            yield f"{words} since this plan was made: plan again"
    yield from _reels(shelf, present["reels"], then.get("reels", {}))
    for item in plan.items:
        for key in item.reels:
            reel = shelf.reels.get(key)
            if reel is not None:
                yield from _item(reel, item.kind, item.start, item.end, now)


def _reels(shelf: Shelf, now: Mapping[str, Any], then: Mapping[str, Any]) -> Iterator[str]:
    for key in then:
        if key not in now:
            yield f"{key} is not on the shelf any more: plan again"
    for key, facts in now.items():
        if key not in then:
            if not shelf.reels[key].calibration and not shelf.reels[key].past("verified"):
                yield f"{key} came to the shelf after this plan was made: plan again"
            continue
        was = then[key]
        if facts[0] != was[0]:
            yield f"{key} is not as it was when this plan was made: plan again"
        elif STAGES.index(facts[1]) < STAGES.index(was[1]):
            yield f"{key} went back to {facts[1]} after this plan was made: plan again"
        elif facts[2] > was[2] or set(facts[3].split(";")) - set(was[3].split(";")) - {"ok", ""}:
            yield f"{key} has a trouble that this plan does not know: plan again"


def _item(reel: Reel, kind: str, start: datetime, end: datetime, now: datetime) -> Iterator[str]:
    if kind == "condition" and reel.chamber and reel.loaded_at is not None:
        if abs(minutes_between(start, reel.loaded_at)) > figure("plan.load_moved_minutes"):
            yield f"{reel.key} went into chamber {reel.chamber} at another time than planned: plan again"
        return
    if kind == "transfer" and not reel.past("transferred") and reel.playable_until is not None:
        warmed_later = reel.chamber or reel.conditioned_at is None
        if not warmed_later and start > now and reel.playable_until < end and reel.past("conditioned"):
            yield f"{reel.key} is not playable any more when this plan transfers it: plan again"
    stage = _REACHES.get(kind)
    if stage is None or (kind == "condition" and reel.past("conditioned")):
        return
    if not reel.past(stage) and later(end, hours=figure("plan.overdue_hours")) < now:
        yield f"{reel.key} was to be {stage} by {day_text(end)} {end:%H:%M} and is not: plan again"
