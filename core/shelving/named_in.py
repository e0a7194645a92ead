"""Where records name a reel, a song or a sheet: found and put under another key, or told by kind."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Literal, cast

from core.shelf import RecordKind, Shelf

Kind = Literal["reel", "song", "sheet"]

_FIELDS: dict[Kind, tuple[str, ...]] = {
    "reel": ("reel", "calibration", "found_in", "clock_reel"),
    "song": ("song",),
    "sheet": ("sheet",),
}
_LISTS: dict[Kind, tuple[str, ...]] = {
    "reel": ("reels", "waits_for"),
    "song": ("songs",),
    "sheet": ("sheets",),
}
#: Sentences of the program's own that name keys.
_SENTENCES = ("moved", "why")
#: Tables inside a record whose keys are keys of the shelf.
_MAPS: dict[Kind, tuple[str, ...]] = {
    "reel": ("members", "reels"),
    "song": ("promises", "on_time"),
    "sheet": ("sheets",),
}
_ON_A_REEL = ("identify", "repair", "audition", "transfer", "verify", "wind")
#: What an owner's wish is about, by its kind.
_PINS: dict[Kind, tuple[str, ...]] = {
    "reel": ("transfer", "condition", "reel"),
    "song": ("song",),
    "sheet": (),
}


def records_renamed(shelf: Shelf, kind: Kind, old: str, new: str) -> Shelf:
    """The shelf whose records name that thing by its new key, inside and in what they are kept under."""
    changed = dict(shelf.records)
    for name, records in shelf.records.items():
        out, same = {}, True
        for key, value in records.items():
            field = key if name == "plan" else ""
            wish = name == "pin"
            put = _pin(value, kind, old, new) if wish else value_renamed(value, kind, old, new, field)
            there = key_renamed(name, key, value, kind, old, new)
            same = same and put is value and there == key
            out[there] = put
        if not same:
            changed[name] = out
    touched = any(changed[name] is not shelf.records[name] for name in changed)
    return replace(shelf, records=changed) if touched else shelf


def about(shelf: Shelf, kind: Kind, key: str) -> Iterator[tuple[RecordKind, str]]:
    """Kind and key of every record that is about that thing alone: what goes when it goes."""
    for name, records in shelf.records.items():
        for record, value in records.items():
            if name == "pin":
                mine = _pin(value, kind, key, "") is not value
            elif name in ("plan", "load", "lineup", "deck", "path", "setting", "stock", "file columns"):
                mine = False  # these tell of more than one thing
            else:
                mine = key_renamed(name, record, value, kind, key, "?") != record
            if mine:
                yield cast("RecordKind", name), record


def _pin(value: object, kind: Kind, old: str, new: str) -> object:
    if isinstance(value, Mapping) and value.get("reel") == old and value.get("kind") in _PINS[kind]:
        return {**value, "reel": new}
    return value


def value_renamed(value: object, kind: Kind, old: str, new: str, field: str = "") -> object:
    """A record's value with the new key wherever the old one is named; the very value where nowhere."""
    if isinstance(value, Mapping):
        if field == "needs":
            return _needs_renamed(value, kind, old, new)
        keys = field in _MAPS[kind]
        out = {
            (new if keys and name == old else name): (
                new if _names(value, name, one, kind, old) else value_renamed(one, kind, old, new, name)
            )
            for name, one in value.items()
        }
        return value if _same(out, value) else out
    if isinstance(value, list):
        listed = field in _LISTS[kind]
        within = field if field in _SENTENCES else ""
        items = [
            new if listed and one == old else value_renamed(one, kind, old, new, within) for one in value
        ]
        return value if all(a is b for a, b in zip(items, value, strict=True)) else items
    if isinstance(value, str) and field in _SENTENCES:
        told = re.sub(rf"(?<![\w-]){re.escape(old)}(?![\w-])", lambda _: new, value)
        return value if told == value else told
    return value


def _needs_renamed(value: Mapping[str, Sequence[Sequence[object]]], kind: Kind, old: str, new: str) -> object:
    """What songs needed before a sheet was placed: song to ``[reel, from, to]`` of each need."""
    out = {
        new if kind == "song" and song == old else song: [
            [new, *need[1:]] if kind == "reel" and need and need[0] == old else need for need in needs
        ]
        for song, needs in value.items()
    }
    return value if out == value else out


def _names(owner: Mapping[str, object], name: str, one: object, kind: Kind, old: str) -> bool:
    if one != old or not isinstance(one, str):
        return False
    if name == "subject":
        return kind == "reel" and owner.get("kind") in _ON_A_REEL
    return name in _FIELDS[kind]


def _same(out: Mapping[str, object], value: Mapping[str, object]) -> bool:
    return list(out) == list(value) and all(out[name] is value[name] for name in out)


def key_renamed(name: str, key: str, value: object, kind: Kind, old: str, new: str) -> str:
    """What a record of that kind is kept under after the renaming."""
    told = value if isinstance(value, Mapping) else {}
    if name == "pin":
        if _pin(value, kind, old, new) is value:
            return key
        return re.sub(rf"(?<= ){re.escape(old)}(?= |$)", lambda _: new, key, count=1)
    if name == "actual":
        mine = kind == "reel" and told.get("subject") == old and told.get("kind") in _ON_A_REEL
        return re.sub(rf"(?<= ){re.escape(old)}(?= |$)", lambda _: new, key, count=1) if mine else key
    starts = key == old or key.startswith((f"{old} ", f"{old}:", f"{old}/"))
    if not starts:
        return key
    by_pass = re.match(rf"{re.escape(old)} pass \d+( |$)", key) is not None
    by_value = told.get(kind) == old
    alone = key == old and name not in ("plan", "deck", "path", "stock", "setting", "file columns")
    mine = by_value or (kind == "reel" and by_pass) or (alone and _kept_by(name, kind))
    return new + key[len(old) :] if mine else key


def _kept_by(name: str, kind: Kind) -> bool:
    """True where records of that name are kept under keys of that kind alone."""
    return name.split(" ")[0] == kind
