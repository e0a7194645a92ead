"""Off the shelf, with all that hangs on it; what is lost is told by count before and after."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from core.as_json import Record
from core.conditioning.lies_off import off_since
from core.conditioning.spreading.dirty_path import kept_on_paths
from core.conditioning.spreading.shared_air import kept_of_gone
from core.errors import Refused
from core.logbook.noted import noted_of
from core.logbook.running import running
from core.reels.photographs import photograph_names
from core.shelf import Shelf
from core.shelving.named_in import Kind, about
from core.songs.song import Song
from core.words import counted

#: How records are told by count, by their kind; the rest are told together.
_TOLD = {
    "pass": ("pass", "passes"),
    "timed note": ("timed note", ""),
    "check": ("check", ""),
    "pin": ("wish", "wishes"),
    "actual": ("note of what a step took", "notes of what steps took"),
}


def hanging(shelf: Shelf, kind: Kind, key: str) -> dict[str, int]:
    """What goes or is cut with that thing, by count: needs of songs, rows of sheets, passes, checks."""
    out: dict[str, int] = {}
    if kind == "reel":
        out["song's need of it"] = sum(any(n.reel == key for n in s.needs) for s in shelf.songs.values())
        out["track sheet row"] = sum(row.reel == key for row in shelf.sheets)
        out["part of it"] = sum(one.reel == key for one in shelf.segments)
        out["note in its history"] = len(noted_of(shelf, key))
        out["photograph"] = len(photograph_names(shelf.reels[key])) if key in shelf.reels else 0
    elif kind == "sheet":
        out["track sheet row"] = sum(row.sheet == key for row in shelf.sheets)
    for name, _ in about(shelf, kind, key):
        word = _TOLD[name][0] if name in _TOLD else "other record"
        out[word] = out.get(word, 0) + 1
    return {name: count for name, count in out.items() if count}


def hanging_told(shelf: Shelf, kind: Kind, key: str) -> str:
    """The same in words: ``2 songs' need of it, 8 track sheet rows``; ``nothing`` where there is none."""
    many = {
        "song's need of it": "songs' need of it", "part of it": "parts of it",
        "note in its history": "notes in its history",
    } | dict(_TOLD.values())  # fmt: skip
    told = [counted(count, name, many.get(name, "")) for name, count in hanging(shelf, kind, key).items()]
    return ", ".join(told) or "nothing"


def removed(shelf: Shelf, things: Sequence[tuple[Kind, str]]) -> Shelf:
    """The shelf without those things; songs lose the need and stay.

    A reel in a chamber, or on a deck, running, is Refused. What it left on a deck's path is kept there, and
    its mould for what lay beside it.
    """
    for kind, key in things:
        reel = shelf.reels.get(key) if kind == "reel" else None
        if reel is not None and reel.chamber:
            raise Refused(f"{key} is in chamber {reel.chamber}: take it out and mark it conditioned first")
        off = off_since(shelf, key) if kind == "reel" else ""
        if off:
            raise Refused(f"{key} is not removed: {off}: take it out and say so first")
        tape = running(shelf).get(key) if kind == "reel" else None
        if tape is not None:
            where = f" on {tape.deck}" if tape.deck else ""
            raise Refused(f"{key} runs{where}: stop it first")
    gone = [key for kind, key in things if kind == "reel"]
    shelf = kept_of_gone(kept_on_paths(shelf, gone), gone)
    for kind, key in things:
        for name, record in list(about(shelf, kind, key)):
            shelf = shelf.with_record(name, record, None)
        shelf = {"reel": _no_reel, "song": _no_song, "sheet": _no_sheet}[kind](shelf, key)
    return shelf


def _no_reel(shelf: Shelf, key: str) -> Shelf:
    songs = {
        one: _without(song, key) if any(need.reel == key for need in song.needs) else song
        for one, song in shelf.songs.items()
    }
    without = replace(
        shelf,
        reels={one: reel for one, reel in shelf.reels.items() if one != key},
        songs=songs,
        sheets=tuple(row for row in shelf.sheets if row.reel != key),
        segments=tuple(one for one in shelf.segments if one.reel != key),
    )
    return _out_of_the_plan(without, key)


def _without(song: Song, reel: str) -> Song:
    needs = tuple(need for need in song.needs if need.reel != reel)
    return replace(song, needs=needs, clock_reel="" if song.clock_reel == reel else song.clock_reel)


def _out_of_the_plan(shelf: Shelf, key: str) -> Shelf:
    """The kept plan without the items of a tape that is not there any more."""
    for which in ("kept", "before"):
        plan = shelf.of_kind("plan").get(which)
        if not isinstance(plan, Mapping):
            continue
        items = [one for item in plan.get("items", ()) if (one := _without_item(item, key)) is not None]
        over = [one for one in plan.get("left_over", ()) if one.get("reel") != key]
        songs = [
            {**song, "waits_for": [one for one in song.get("waits_for", ()) if one != key]}
            for song in plan.get("songs", ())
        ]
        cut = {**plan, "items": items, "left_over": over, "songs": songs}
        if cut != plan:
            shelf = shelf.with_record("plan", which, cut)
    return shelf


def _without_item(item: Record, key: str) -> Mapping[str, object] | None:
    if item.get("reel") == key:
        return None
    if item.get("calibration") == key:
        return {name: value for name, value in item.items() if name != "calibration"}
    if "reels" not in item:
        return item
    left = [one for one in item["reels"] if one.get("reel") != key]
    return {**item, "reels": left} if left else None


def _no_song(shelf: Shelf, key: str) -> Shelf:
    left = replace(shelf, songs={one: song for one, song in shelf.songs.items() if one != key})
    for which in ("kept", "before"):
        plan = left.of_kind("plan").get(which)
        if isinstance(plan, Mapping):
            songs = [song for song in plan.get("songs", ()) if song.get("song") != key]
            if len(songs) < len(plan.get("songs", ())):
                left = left.with_record("plan", which, {**plan, "songs": songs})
    return left


def _no_sheet(shelf: Shelf, key: str) -> Shelf:
    return replace(shelf, sheets=tuple(row for row in shelf.sheets if row.sheet != key))
