"""Another key for a reel, a song or a sheet: everything that names it follows."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from typing import TYPE_CHECKING, TypeVar

from core.errors import Refused
from core.reels.by_number import meant
from core.reels.reel import Reel
from core.shelf import Event, Shelf
from core.shelving.named_in import Kind, records_renamed
from core.songs.written.copies import copied_tracks
from core.songs.written.rings import row_words
from core.standing.of_plan.made_from import made_from

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

KINDS: tuple[Kind, ...] = ("reel", "song", "sheet")


def kinds_of(shelf: Shelf, key: str) -> tuple[Kind, ...]:
    """What that key is on the shelf: a reel, a song, a sheet, or several of them."""
    there = {
        "reel": key in shelf.reels,
        "song": key in shelf.songs,
        "sheet": any(row.sheet == key for row in shelf.sheets),
    }
    return tuple(kind for kind in KINDS if there[kind])


def the_kind(shelf: Shelf, key: str, said: str = "") -> Kind:
    """The one kind of thing that key is; Refused where it is none, or several and nobody says which."""
    found = kinds_of(shelf, key)
    if said:
        if said not in found:
            raise Refused(f"no {said} {key!r} on this shelf{_near(shelf, key, said)}")
        return next(kind for kind in KINDS if kind == said)
    if not found:
        raise Refused(f"no reel, song or sheet {key!r} on this shelf{_near(shelf, key)}")
    if len(found) > 1:
        told = " or ".join(f"`{kind} {key}`" for kind in found)
        raise Refused(f"{key} is a {' and a '.join(found)}: say {told}")
    return found[0]


def _near(shelf: Shelf, key: str, said: str = "") -> str:
    from difflib import get_close_matches

    if said in ("", "reel") and (number := meant(key, shelf.reels)):
        return number
    keys = {"reel": shelf.reels, "song": shelf.songs, "sheet": {row.sheet: 0 for row in shelf.sheets}}
    named = [one for kind, there in keys.items() if said in ("", kind) for one in there]
    near = get_close_matches(key, named, 1, 0.6)
    return f": did you mean {near[0]}?" if near else ""


def renamed(shelf: Shelf, kind: Kind, old: str, new: str) -> Shelf:
    """The shelf with that thing under its new key, wherever it is named; a plan that fitted still fits."""
    if old == new:
        raise Refused(f"{old} is called so already")
    if kind in kinds_of(shelf, new):
        raise Refused(f"there is a {kind} {new} already: give another key")
    _refuse_what_sheets_name(shelf, kind, old, new)
    return under_key(shelf, kind, old, new)


def under_key(shelf: Shelf, kind: Kind, old: str, new: str) -> Shelf:
    """The same, unasked: what names the new key already is its own too, as where two keys are one tape."""
    rows = {"reel": _reel_rows, "song": _song_rows, "sheet": _sheet_rows}[kind](shelf, old, new)
    after = records_renamed(rows, kind, old, new)
    return _fitting(shelf, after)


def _refuse_what_sheets_name(shelf: Shelf, kind: Kind, old: str, new: str) -> None:
    """A key that sheets name for a thing not on the shelf would become one with this thing, for good."""
    for row in shelf.sheets if kind != "sheet" else ():
        sources = {reel for reel, _ in copied_tracks(row.copied_from)} if kind == "reel" else set()
        named = {"reel", "found_in"} if kind == "reel" else {"song"}
        field = next((one for one in sorted(named, reverse=True) if getattr(row, one) == new), "")
        if field or new in sources:
            raise Refused(
                f"{row_words(row)} names a {kind} {new} that is not on the shelf, in "
                f"{field or 'copied_from'}: if that is {old}, write {old} there first, else give another key"
            )


def _reel_rows(shelf: Shelf, old: str, new: str) -> Shelf:
    def key(reel: str) -> str:
        return new if reel == old else reel

    lay = re.compile(rf"(?<=lay in the box of ){re.escape(old)}(?![\w-])")  # as a split wrote it

    def named(reel: Reel) -> Reel:
        notes = lay.sub(lambda _: new, reel.notes)
        return replace(reel, notes=notes) if notes != reel.notes else reel

    return replace(
        shelf,
        reels={key(one): named(replace(reel, key=key(reel.key)) if one == old else reel)
               for one, reel in shelf.reels.items()},
        songs={one: _with(song, old, new, ("clock_reel",), needs=tuple(
                   replace(need, reel=key(need.reel)) if need.reel == old else need for need in song.needs))
               for one, song in shelf.songs.items()},
        sheets=tuple(_with(row, old, new, ("reel", "found_in"), copied_from=copied(row.copied_from, old, new))
                     for row in shelf.sheets),
        segments=tuple(_with(one, old, new, ("reel",)) for one in shelf.segments),
    )  # fmt: skip


def _song_rows(shelf: Shelf, old: str, new: str) -> Shelf:
    songs = {new if one == old else one: replace(song, key=new) if one == old else song
             for one, song in shelf.songs.items()}  # fmt: skip
    return replace(shelf, songs=songs, sheets=tuple(_with(row, old, new, ("song",)) for row in shelf.sheets))


def _sheet_rows(shelf: Shelf, old: str, new: str) -> Shelf:
    return replace(shelf, sheets=tuple(_with(row, old, new, ("sheet",)) for row in shelf.sheets))


V = TypeVar("V", bound="DataclassInstance")


def _with(value: V, old: str, new: str, names: tuple[str, ...], **told: object) -> V:
    """The value with the new key in those fields that held the old one; the very value where none did."""
    there = {field.name for field in fields(value)}
    changes: dict[str, object] = {
        name: new for name in names if name in there and getattr(value, name) == old
    }
    changes |= {name: one for name, one in told.items() if getattr(value, name) != one}
    return replace(value, **changes) if changes else value


def copied(copied_from: str, old: str, new: str) -> str:
    """``copied_from`` with the reel under its new key."""
    if old not in copied_from:
        return copied_from
    parts = []
    for part in copied_from.split(";"):
        reel, colon, tracks = part.strip().rpartition(":")
        parts.append(f"{new}:{tracks}" if colon and reel == old else part.strip())
    return "; ".join(parts)


def _fitting(before: Shelf, after: Shelf) -> Shelf:
    """A kept plan rests on the same things under their new name, where it rested on what was there."""
    then = after.of_kind("plan").get("made from")
    if not isinstance(then, Mapping):
        return after
    was, now = made_from(before), made_from(after)
    kept = before.of_kind("plan")["made from"]
    fits = {
        name: now[name] if name in now and was.get(name) == kept.get(name) else value
        for name, value in then.items()
    }
    return after.with_record("plan", "made from", fits)


def events_renamed(events: Iterator[Event], kind: Kind, old: str, new: str) -> Iterator[Event]:
    """The history with that thing's own rows under its new key."""
    for event in events:
        yield replace(event, key=new) if event.kind == kind and event.key == old else event
