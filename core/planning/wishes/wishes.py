"""What the owner wishes of a plan beyond the rules: pins, bans, songs by a date, slack, and calm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field, replace
from datetime import date, datetime
from typing import Literal

from core.as_json import read
from core.plan import Plan
from core.shelf import Shelf
from core.values import dataclass

#: ``on``, ``off``: a transfer on that date, or not on it. ``warm``: into a chamber on it. ``from``: not at
#: hand before it. ``by``: a song ready by its end. The rest close a date, or keep a share of evenings free.
WishKind = Literal["on", "off", "warm", "from", "by", "no chamber", "no deck", "slack"]


@dataclass(frozen=True, slots=True)
class Wish:
    """One wish as it is kept on the shelf. ``about`` is a reel, a song or a deck; empty for every deck."""

    kind: WishKind
    about: str = ""
    day: date | None = None
    share: float = 0.0

    @property
    def key(self) -> str:
        """What it is kept under; a second wish of that key takes the place of the first."""
        if self.kind in ("on", "warm", "from", "by"):
            return f"{'transfer' if self.kind == 'on' else self.kind} {self.about}"
        if self.kind == "slack":
            return "slack"
        return f"{self.kind} {self.about} {self.day}".replace("  ", " ")

    @property
    def words(self) -> str:
        """The wish as one types it."""
        if self.kind == "slack":
            return f"slack {self.share * 100:g}%"
        link = {"on": "on", "off": "not on", "warm": "warmed on", "from": "not before", "by": "by"}
        if self.kind in link:
            return f"{self.about} {link[self.kind]} {self.day}"
        what = "chamber" if self.kind == "no chamber" else self.about or "deck"
        return f"no {what} on {self.day}"

    def to_record(self) -> dict[str, object]:
        """As the shelf keeps it."""
        do, kind = _RECORDS[self.kind]
        out: dict[str, object] = {"do": do, "kind": kind, "reel": self.about}
        return out | ({"share": self.share} if self.kind == "slack" else {"day": str(self.day)})


_RECORDS: dict[WishKind, tuple[str, str]] = {
    "on": ("pin", "transfer"),
    "off": ("forbid", "transfer"),
    "warm": ("pin", "condition"),
    "from": ("from", "reel"),
    "by": ("by", "song"),
    "no chamber": ("forbid", "condition"),
    "no deck": ("forbid", "deck"),
    "slack": ("slack", ""),
}


@dataclass(frozen=True, slots=True)
class Pin:
    """This reel is transferred on that date; with ``never`` it is not."""

    reel: str
    day: date
    never: bool = False


@dataclass(frozen=True, slots=True)
class Wishes:
    """Nothing wished for unless said; rules always hold, a wish only where it can be met.

    ``no_chamber``: dates on which no load starts or runs. ``no_deck``: a date and the deck that rests on it,
    empty for all. ``warm``: a reel that goes into a chamber on that date. ``not_before``: a reel that is not
    at hand before that date. ``song_by``: a song and the date by whose end it is to be ready. ``slack``: the
    share of every evening kept free for what goes wrong (0.1 is a tenth), in place of the studio's.
    ``left``: what left the evening under way by plans made in it, as kind, reel and when it was to be done
    there: it is tonight's still, and comes back where there is room again.
    ``made``: decks that stand lined up in the evening under way; the plan begins with those line-ups.
    ``kept``: the plan that is under way; each of its items that moves costs ``price`` in the score's own unit
    (hours times priority), a tenth of that from the eighth day on; None is its part of a tenth of the
    score, which is what it costs to move all of it.
    """

    pins: tuple[Pin, ...] = ()
    no_chamber: tuple[date, ...] = ()
    song_by: tuple[tuple[str, date], ...] = ()
    slack: float | None = None
    kept: Plan | None = None
    price: float | None = None
    no_deck: tuple[tuple[str, date], ...] = ()
    warm: tuple[tuple[str, date], ...] = ()
    not_before: tuple[tuple[str, date], ...] = ()
    of_song: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # reels of songs on no album
    made: tuple[
        str, ...
    ] = ()  # decks that stand lined up: the plan begins with those line-ups, which are made
    left: tuple[tuple[str, str, datetime], ...] = ()
    proven: Plan | None = None  # made from this very shelf, hours and slack: its bound still tells something

    def __post_init__(self) -> None:
        if self.slack is not None and not 0 <= self.slack < 1:
            raise ValueError("slack is a share of the evening, from 0 to below 1")
        if self.price is not None and self.price < 0:
            raise ValueError("the price of a move is not below 0")

    @property
    def bind(self) -> bool:
        """True if anything is wished, or a plan is under way, that the best plan is to keep to."""
        return self.restrict or self.kept is not None

    @property
    def restrict(self) -> bool:
        """True if anything is wished that keeps the best plan away."""
        closed = self.no_chamber or self.no_deck
        return bool(closed or self.pins or self.song_by or self.warm or self.not_before or self.made)


def wished_on(shelf: Shelf) -> dict[str, Wish]:
    """The owner's wishes on the shelf by their keys, in the order in which they were made."""
    read = ((key, _read(one)) for key, one in shelf.of_kind("pin").items())
    return {key: wish for key, wish in read if wish is not None}


@dataclass(frozen=True, slots=True)
class _Kept:
    """A wish as its record tells it."""

    do: str
    kind: str = ""
    reel: str = ""
    day: str = ""
    share: float = 0.0


def _read(record: object) -> Wish | None:
    """The wish that a record tells; None for one that tells none, as another program may have written."""
    try:
        told = read(_Kept, record)
        kind = next(k for k, (do, about) in _RECORDS.items() if told.do == do and about in ("", told.kind))
        day = date.fromisoformat(told.day) if kind != "slack" else None
    except (ValueError, StopIteration):
        return None
    about = "" if kind in ("no chamber", "slack") else told.reel
    return Wish(kind, about, day, told.share) if 0 <= told.share < 1 else None


def wishes_of(shelf: Shelf) -> Wishes:
    """What the owner wishes on the shelf, as the planner takes it; wishes about what is gone are left out."""
    kept = [w for w in wished_on(shelf).values() if w.kind == "slack" or w.day is not None]

    def dated(kind: WishKind, among: Mapping[str, object] | None = None) -> Iterator[tuple[str, date]]:
        for wish in kept:
            if wish.kind == kind and wish.day is not None and (among is None or wish.about in among):
                yield wish.about, wish.day

    holds = [Pin(reel, day) for reel, day in dated("on", shelf.reels)]
    bans = [Pin(reel, day, never=True) for reel, day in dated("off", shelf.reels)]
    return Wishes(
        pins=(*holds, *bans),
        no_chamber=tuple(day for _, day in dated("no chamber")),
        song_by=tuple(dated("by", shelf.songs)),
        slack=next((wish.share for wish in kept if wish.kind == "slack"), None),
        no_deck=tuple(dated("no deck")),
        warm=tuple(dated("warm", shelf.reels)),
        not_before=tuple(dated("from", shelf.reels)),
        of_song={
            song: tuple(need.reel for need in shelf.songs[song].needs)
            for song, _ in dated("by", shelf.songs)
            if not shelf.songs[song].album
        },
    )


def one_less(wishes: Wishes) -> Iterator[tuple[str, Wishes]]:
    """The wishes without one of them, for each of them: its words, and what is left."""
    for pin in wishes.pins:
        left = tuple(one for one in wishes.pins if one is not pin)
        yield Wish("off" if pin.never else "on", pin.reel, pin.day).words, replace(wishes, pins=left)
    for day in wishes.no_chamber:
        days = tuple(one for one in wishes.no_chamber if one != day)
        yield Wish("no chamber", "", day).words, replace(wishes, no_chamber=days)
    named: tuple[tuple[WishKind, str], ...] = (
        ("no deck", "no_deck"),
        ("warm", "warm"),
        ("from", "not_before"),
        ("by", "song_by"),
    )
    for kind, name in named:
        for pair in getattr(wishes, name):
            rest = tuple(one for one in getattr(wishes, name) if one != pair)
            yield Wish(kind, *pair).words, replace(wishes, **{name: rest})  # type: ignore[arg-type]
    if wishes.slack is not None:
        yield Wish("slack", share=wishes.slack).words, replace(wishes, slack=None)
