"""What a plan rests on, in short: kept beside it, and held against the shelf as it is later.

Each sum is over fields by their names, those left out that say nothing. So a program that learns a new field
finds the same sum where nobody has filled that field, and no plan grows old by an update.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import MISSING, field, fields, is_dataclass, replace
from datetime import date, datetime
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any, NamedTuple

from core.as_json import as_json, read
from core.clock import write_time
from core.quantities import Quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.seen_first import mouldy_chambers, seen_first
from core.studio.setup import Setup
from core.studio.studio import Deck, Studio
from core.values import dataclass

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

#: How these sums are made; a record of another form is not held against them.
FORM = 3
#: The record beside a kept plan of what its reels were before an answer that changed nothing of it.
FITS_TOO = "fits too"
#: What is decided by: of a reel, for as long as nothing was done with it.
REEL = (
    "role", "width", "tracks", "stock", "base", "thickness", "reel_size", "length", "pack_diameter",
    "hub_diameter", "treatment_hours", "set_aside", "signs", "back_coat", "year", "storage", "base_seen",
    "tried", "tones",
)  # fmt: skip
#: What the work itself changes: it counts only where no work was done meanwhile.
BY_WORK = ("wind", "conditioned_at", "playable_until", "chamber", "loaded_at")
#: Of a reel, what is told apart: its set-up as it is filled, and what an evening changes as it goes.
TOLD_APART = ("key", "speed", "eq", "level", "noise_reduction", "splices", "condition", "stage", "heard")
#: Of a reel, what moves nothing in a plan.
NOT_OF_REEL = (
    "box_label", "contents", "decoded", "varispeed", "timecode_track", "timecode_rate", "location", "notes",
    "photographs", "extra",
)  # fmt: skip
#: Of the studio, what moves nothing in a plan, or is summed apart; all else counts, what is new as well.
NOT_OF_STUDIO = ("name", "capture", "extra")
STUDIO = tuple(one.name for one in fields(Studio) if one.name not in NOT_OF_STUDIO)
CAPTURE = ("inputs", "guide_tracks")
SONG = ("album", "priority", "needs")


class Facts(NamedTuple):
    """What is told of a reel as a sum, its stage, joints and condition, and what work changes as a sum."""

    still: str
    stage: str
    joints: int
    condition: str
    by_work: str

    @property
    def words(self) -> set[str]:
        """Its condition, word by word."""
        return set(self.condition.split(";")) - {""}


@dataclass(frozen=True, slots=True)
class MadeFrom:
    """What a plan rests on: a sum of each thing, and the facts of every reel."""

    form: int = 0
    studio: str = ""
    songs: str = ""
    segments: str = ""
    stocks: str = ""
    wishes: str = ""
    stands: str = ""
    passes: int = 0
    wished: tuple[str, ...] = ()
    seen: str = ""
    reels: Mapping[str, Facts] = field(default_factory=dict)


def rested_on(told: Mapping[str, object]) -> MadeFrom:
    """What a plan rested on, from what is kept beside it; where that cannot be read, nothing."""
    try:
        return read(MadeFrom, told)
    except ValueError:
        return MadeFrom()


def resting_on(shelf: Shelf) -> MadeFrom:
    """What a plan made now rests on, in short; a deck that plays both ways moves nothing of it."""
    studio = replace(shelf.studio, decks=tuple(replace(o, reverse_play=False) for o in shelf.studio.decks))
    return MadeFrom(
        FORM,
        sum_of({**told(studio, STUDIO), "capture": told(studio.capture, CAPTURE)}),
        sum_of({song.key: told(song, SONG) for song in shelf.songs.values()}),
        sum_of(shelf.segments),
        sum_of(dict(shelf.of_kind("stock"))),
        sum_of(dict(shelf.of_kind("pin"))),
        sum_of({deck.id: deck.lined_up for deck in studio.decks}),
        len(shelf.of_kind("pass")),
        tuple(shelf.of_kind("pin")),
        _seen(shelf),
        {reel.key: facts_of(reel) for reel in shelf.reels.values()},
    )


def _seen(shelf: Shelf) -> str:
    """A sum of what is to be looked at or wiped first; empty where nothing is."""
    reels = {key: why for key, reel in shelf.reels.items() if (why := seen_first(shelf, reel)) is not None}
    waits = reels | {f"chamber {key}": why for key, why in mouldy_chambers(shelf).items()}
    return sum_of(waits) if waits else ""


def made_from(shelf: Shelf) -> dict[str, object]:
    """What a plan made now rests on, as it is kept beside the plan."""
    return as_json(resting_on(shelf))


_PARTS = {
    "studio": "the studio", "songs": "the songs", "segments": "the parts of a tape",
    "stocks": "your stocks", "seen": "what is to be looked at first",
    "wishes": "a wish", "stands": "how a deck stands", "passes": "what was played",
}  # fmt: skip


def changed_since(rests_on: Mapping[str, object], shelf: Shelf) -> list[str]:
    """By their names, the parts of the shelf, and the reels, that are not as that plan was made from."""
    was, now = rested_on(rests_on), resting_on(shelf)
    parts = [words for part, words in _PARTS.items() if getattr(was, part) != getattr(now, part)]
    keys = dict.fromkeys((*was.reels, *now.reels))
    return [*(key for key in keys if was.reels.get(key) != now.reels.get(key)), *parts]


def taken_in(before: Shelf, after: Shelf, key: str) -> Shelf:
    """The shelf with its kept plan resting on what is told of that reel now, where it rested on it as before.

    For an answer about a reel that changes nothing of what the plan may do with it. What work changed of the
    reel since the plan was made is not touched.
    """
    return with_sum_of(before, after, after, key)


def with_sum_of(before: Shelf, answered: Shelf, after: Shelf, key: str) -> Shelf:
    """``after``, its kept plan resting on that reel of ``answered`` where it rested on that of ``before``.

    What it rested on goes on to fit: an answer that is taken back leaves the plan as it was.
    """
    then = after.of_kind("plan").get("made from")
    was = list(then.get("reels", {}).get(key, ())) if then is not None else []
    fits = (*was[:1], *fitting_too(after, key))
    if then is None or facts_of(before.reel(key)).still not in fits:
        return after
    now = facts_of(answered.reel(key)).still
    reels = {**then["reels"], key: [now, *was[1:]]}
    others = {**(after.of_kind("plan").get(FITS_TOO) or {}), key: sorted({*fits} - {now})}
    rests = after.with_record("plan", "made from", {**then, "reels": reels})
    return rests.with_record("plan", FITS_TOO, others)


def fitting_too(shelf: Shelf, key: str) -> tuple[str, ...]:
    """The sums of that reel, besides the one that the kept plan rests on, with which it does the same."""
    return tuple((shelf.of_kind("plan").get(FITS_TOO) or {}).get(key, ()))


def answered_meanwhile(shelf: Shelf, rests_on: Mapping[str, Any]) -> Mapping[str, Any]:
    """What a plan rests on, with the answers that were taken in by the kept plan while this one was made."""
    kept = (shelf.of_kind("plan").get("made from") or {}).get("reels", {})
    reels = dict(rests_on.get("reels", {}))
    for key, (still, *rest) in reels.items():
        now = facts_of(shelf.reels[key]).still if key in shelf.reels else still
        if still != now and list(kept.get(key, ()))[:1] == [now]:
            reels[key] = [now, *rest]
    return {**rests_on, "reels": reels}


@lru_cache(maxsize=4096)
def facts_of(reel: Reel) -> Facts:
    """What a plan rests on of one reel."""
    still = sum_of({**told(reel, REEL), "setup": reel.setup})
    return Facts(still, reel.stage, reel.splices or 0, ";".join(reel.condition), sum_of(told(reel, BY_WORK)))


def told(value: object, names: Iterable[str]) -> dict[str, object]:
    """Those fields of a value by their names; one that a reel has no field for is its owner's column."""
    own = {name.casefold().strip(): text.casefold().strip() for name, text in getattr(value, "extra", ())
           } if isinstance(value, Reel) else {}  # fmt: skip
    return {name: _plain(getattr(value, name, own.get(name))) for name in names}


def sum_of(value: object) -> str:
    """A short sum of a value as named fields, whatever order they come in."""
    text = json.dumps(_plain(value), sort_keys=True, ensure_ascii=True)
    return f"{zlib.crc32(text.encode()):08x}"


def _plain(value: object) -> object:
    """A value as JSON; what says nothing, or only what stands where nobody says otherwise, is left out."""
    if value is None or isinstance(value, str | int | float):
        return value
    if isinstance(value, Quantity):
        return str(value.number)
    if isinstance(value, Setup):
        return [None if part is None else str(part) for part in value.key]
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, datetime):
        return write_time(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        every = {str(key): _plain(one) for key, one in value.items()}
        return {key: one for key, one in every.items() if one not in (None, "", [], {})}
    if is_dataclass(value) and not isinstance(value, type):
        return _fields(value)
    return [_plain(one) for one in value] if isinstance(value, Iterable) else str(value)


def _fields(value: DataclassInstance) -> dict[str, object]:
    out = {}
    for one in fields(value):
        given = getattr(value, one.name)
        usual = one.default_factory() if one.default_factory is not MISSING else one.default
        if given == usual or (isinstance(value, Deck) and one.name == "lined_up"):
            continue
        if isinstance(value, Studio) and one.name not in STUDIO:
            continue
        out[one.name] = _plain(given)
    return out
