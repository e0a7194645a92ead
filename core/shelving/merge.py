"""Two keys that are one tape, and a box that held two."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import fields, replace
from datetime import datetime
from typing import Any

from core.conditioning.box_asked import SPREADS, box_warns
from core.conditioning.lies_off import off_since
from core.errors import Refused
from core.logbook.noted import noted_of
from core.logbook.places import OneBox
from core.logbook.typed import with_entry
from core.reels.needs import OwnStocks, base_of
from core.reels.reel import BASES, STAGES, Reel
from core.shelf import Event, Shelf
from core.shelving.named_in import about
from core.shelving.rename import under_key
from core.songs.song import Song
from core.studio.setup import width_key
from core.tape.stocks import find_stock
from core.tape.written_like import written_like
from core.words import listed

_BASE = ("base", "base_seen")
#: What came of a tape as it was worked on goes together.
_WORK = ("stage", "conditioned_at", "playable_until")


def merged(shelf: Shelf, keep: str, other: str) -> Shelf:
    """The shelf with the second reel's facts, names and papers on the first, and the second off it.

    What both tell differently stays as the first tells it, and the second's word goes into the notes. Refused
    where one is in a chamber, or both were played: then they are two tapes.
    """
    if keep == other:
        raise Refused(f"{keep} is one reel: name two")
    first, second = shelf.reel(keep), shelf.reel(other)
    for reel in (first, second):
        if reel.chamber:
            raise Refused(f"{reel.key} is in chamber {reel.chamber}: take it out first")
        if off := off_since(shelf, reel.key):
            raise Refused(f"{reel.key} is not merged: {off}: take it out and say so first")
    if first.width and second.width and width_key(first.width) != width_key(second.width):
        widths = f"{keep} is {first.width} wide and {other} {second.width}"
        raise Refused(f"{widths}: they are two tapes, or one width is to be mended first")
    played = [
        key
        for key in (keep, other)
        if any(name in ("pass", "check") for name, _ in about(shelf, "reel", key))
    ]
    if len(played) == 2:
        raise Refused(f"{keep} and {other} were both played: they are two tapes")
    own = shelf.own_stocks()
    made = _one(first, second) if _one_stock(first, second) else _of_two_stocks(first, second, own)
    free = replace(shelf, reels={key: reel for key, reel in shelf.reels.items() if key != keep})
    both = _planned_once(shelf, under_key(_planned_without(free, keep, other), "reel", other, keep), other)
    reels = {key: made if key == keep else reel for key, reel in shelf.reels.items() if key != other}
    songs = {key: replace(song, needs=tuple(dict.fromkeys(song.needs))) for key, song in both.songs.items()}
    return replace(both, reels=reels, songs={**both.songs, **_changed(both.songs, songs)})


def _planned_without(shelf: Shelf, keep: str, other: str) -> Shelf:
    """The shelf whose kept plan has no step with the second reel, where it has any with the first.

    One tape is loaded, played and verified once.
    """
    kept = shelf.of_kind("plan").get("kept")
    if kept is None or not ({keep, other} <= {key for item in kept["items"] for key in _keys(item)}):
        return shelf
    items = [_item_without(item, other) for item in kept["items"] if _keys(item) != [other]]
    left = [one for one in kept["left_over"] if one["reel"] != other]
    return shelf.with_record("plan", "kept", {**kept, "items": items, "left_over": left})


def _planned_once(before: Shelf, after: Shelf, other: str) -> Shelf:
    """The shelf whose kept plan tells that it was made for two, where it was: it is planned again."""
    then, now = (one.of_kind("plan").get("made from") for one in (before, after))
    was = (then or {}).get("reels", {}).get(other)
    if now is None or was is None:
        return after
    return after.with_record("plan", "made from", {**now, "reels": {**now["reels"], other: was}})


def _keys(item: Mapping[str, Any]) -> list[str]:
    return [one["reel"] for one in item.get("reels", ())] or [key for key in (item.get("reel"),) if key]


def _item_without(item: Mapping[str, Any], other: str) -> dict[str, Any]:
    told = dict(item)
    if told.get("reels"):
        told["reels"] = [one for one in told["reels"] if one["reel"] != other]
    return told


def notes_brought(shelf: Shelf, keep: str, other: str, change: int = 0) -> tuple[Event, ...]:
    """The notes in the second reel's history as notes on the first, with the time and the key of each.

    The history itself stays as it was written: once the merge is taken back, they are the second's again.
    """
    there = {(one.at, one.note) for one in noted_of(shelf, keep)}
    brought = (replace(one, key=keep, note=f"{one.note} (written of {other})", change=change, extra=())
               for one in noted_of(shelf, other))  # fmt: skip
    return tuple(one for one in brought if (one.at, one.note) not in there)


def _one_stock(first: Reel, second: Reel) -> bool:
    """True where one of them names no stock, or both name it alike."""
    said = {"".join(reel.stock.casefold().split()) for reel in (first, second)} - {""}
    return len(said) < 2


def _of_two_stocks(first: Reel, second: Reel, own: OwnStocks) -> Reel:
    """One reel of two that name two stocks: the one that asks for more care, with what either's base is."""
    told = [replace(reel, base=_told_base(reel, own)) for reel in (first, second)]
    made = _one(told[0], told[1])
    if _treated_otherwise(first.stock, second.stock, own):
        return replace(made, stock=f"{first.stock} or {second.stock}")
    if _care(second.stock, own) <= _care(first.stock, own):
        return made
    notes = "; ".join(filter(None, (made.notes, f"its own box said stock {first.stock}")))
    return replace(made, stock=second.stock, notes=notes)


def _told_base(reel: Reel, own: OwnStocks) -> str:
    """Its base as written, else by its stock's row; as it was where nothing tells, or someone saw it."""
    told = base_of(reel, own)
    return reel.base if reel.base_seen or reel.base not in ("", "unknown") or told == "unknown" else told


def _treated_otherwise(first: str, second: str, own: OwnStocks) -> bool:
    """True where heat cures one of two stocks and not the other: it is asked which it is before any."""
    found = [one for one in (find_stock(first, own), find_stock(second, own)) if one is not None]
    heat = [one.sticky == "yes" and one.route in ("", "heat") for one in found]
    return len(found) == 2 and any(heat) and any(one.route not in ("", "none", "heat") for one in found)


def _care(name: str, own: OwnStocks) -> int:
    """How much care a stock of that name asks for: to be told first, sticky, to be tested, none known."""
    stock = find_stock(name, own)
    if stock is None:
        return 3 if written_like(name, own) is not None else 0
    return {"yes": 2, "test first": 1}.get(stock.sticky, 0)


def _changed(before: Mapping[str, Song], after: Mapping[str, Song]) -> dict[str, Song]:
    return {key: one for key, one in after.items() if one != before[key]}


def _one(first: Reel, second: Reel) -> Reel:
    """One reel of what two told; what they told differently is kept in the notes."""
    changes: dict[str, Any] = {}
    told = []
    further = STAGES.index(second.stage) > STAGES.index(first.stage)
    for name in (field.name for field in fields(Reel)):
        mine, theirs = getattr(first, name), getattr(second, name)
        if name in ("key", "notes", "extra", "chamber", "loaded_at"):
            continue
        if name in _BASE:
            continue
        if name in _WORK:
            changes |= {name: theirs} if further else {}
        elif theirs in (None, "", ()) or mine == theirs:
            continue
        elif mine in (None, "", ()) or (name == "back_coat" and mine == "unknown"):
            changes[name] = theirs
        elif name in ("condition", "signs"):
            changes[name] = tuple(one for one in dict.fromkeys((*mine, *theirs)) if one != "ok") or ("ok",)
        else:
            told.append(
                f"{name.replace('_', ' ')} {';'.join(theirs) if isinstance(theirs, tuple) else theirs}"
            )
    if changes.get("signs", first.signs) and changes.get("condition", first.condition) == ("ok",):
        changes["condition"] = ()  # a sign was seen on one of the two: it is to be looked at again
    if {first.back_coat, second.back_coat} == {"yes", "no"}:
        changes["back_coat"] = _coat_in_doubt(changes.get("condition", first.condition))
    base, doubt = _base(first, second)
    changes |= base
    told += doubt
    said = f"was {second.key} too" + (f", which said {', '.join(told)}" if told else "")
    notes = "; ".join(one for one in (first.notes, second.notes, said) if one)
    extra = dict(second.extra) | dict(first.extra)
    return replace(first, **changes, notes=notes, extra=tuple(extra.items()))


def _coat_in_doubt(condition: Collection[str]) -> str:
    """The back coat of one tape that was told with and without: not known; of a sticky one, none.

    Without one, a sticky tape of unknown stock is tried with a swab before any heat, as it is to be here.
    """
    return "no" if "sticky" in condition else "unknown"


def said_otherwise(reel: Reel, other: str) -> str:
    """What a key that became that reel said otherwise, as the notes keep it; empty for nothing."""
    _, there, said = reel.notes.rpartition(f"was {other} too, which said ")
    return said if there else ""


def _base(first: Reel, second: Reel) -> tuple[dict[str, str], list[str]]:
    """The base of one reel of two, and in words what the other said: any base but polyester stands.

    One that was only told leaves a polyester that was seen to be seen once more, before any heat.
    """
    told = [one for one in (first, second) if _base_told(one) not in ("", "unknown")]
    if len({_base_told(one) for one in told}) < 2:
        kept = next((one for one in told if _was_seen(one)), told[0] if told else first)
        return {"base": kept.base or first.base, "base_seen": kept.base_seen}, []
    weak = [one for one in told if _base_told(one) != "polyester"]
    kept = next((one for one in weak if _was_seen(one)), weak[0])
    other = second if kept is first else first
    if _was_seen(other) and not _was_seen(kept) and _base_told(other) == "polyester":
        return {"base": "polyester", "base_seen": ""}, [f"base {_base_told(kept)}"]
    base = kept.base if _base_told(kept) == kept.base else _base_told(kept)
    return {"base": base, "base_seen": kept.base_seen}, [f"base {_base_told(other)}"]


def _base_told(reel: Reel) -> str:
    """The base as somebody saw it, else as it is written."""
    return reel.base_seen if reel.base_seen in BASES[:-1] else reel.base


def _was_seen(reel: Reel) -> bool:
    return reel.base_seen not in ("", "no", "unknown")


def split(
    shelf: Shelf,
    key: str,
    new: str,
    at: datetime,
    *,
    contents: str = "",
    sheets: Collection[str] = (),
    songs: Collection[str] = (),
) -> Shelf:
    """The shelf with a second tape that lay in that reel's box, found and not yet looked at.

    Those sheets and those songs' needs go over to it; what is known of the first tape stays with the first.
    That they lay together is kept, and what of the first would be on the other too stands in its notes.
    """
    reel = shelf.reel(key)
    if new in shelf.reels:
        raise Refused(f"there is a reel {new} already: give another key")
    for song in songs:
        shelf.song(song)
    unknown = [one for one in sheets if all(row.sheet != one for row in shelf.sheets)]
    if unknown:
        raise Refused(f"no sheet {unknown[0]!r} on this shelf")
    made = Reel(
        new, box_label=reel.box_label, contents=contents, role=reel.role, width=reel.width,
        location=reel.location, notes=f"lay in the box of {key}{_spread(shelf, reel)}",
    )  # fmt: skip
    reels: dict[str, Reel] = {}
    for one, there in shelf.reels.items():
        reels[one] = there
        if one == key:
            reels[new] = made
    moved = {
        one: replace(song, needs=tuple(replace(n, reel=new) if n.reel == key else n for n in song.needs))
        if one in songs
        else song
        for one, song in shelf.songs.items()
    }
    rows = tuple(
        replace(row, reel=new) if row.sheet in sheets and row.reel in ("", key) else row
        for row in shelf.sheets
    )
    apart = replace(shelf, reels=reels, songs=moved, sheets=rows)
    return with_entry(apart, new, OneBox(new, key, at))


def _spread(shelf: Shelf, reel: Reel) -> str:
    """Signs of a tape, and words of its notes that nobody answered, that may be true of what lay with it."""
    seen = [one for one in ("vinegar", "white powder") if one in reel.troubles]
    noted = [f'"{one.words}"' for one in box_warns(shelf, reel) if one.in_notes and one.sign in SPREADS]
    notes = [f"whose notes say {listed(noted)}"] if noted else []
    has = [f"which has {listed(seen)}"] if seen else []
    return "".join(f", {one}" for one in (*has, *notes))
