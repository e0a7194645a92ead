"""Wrong reel in the box: what the box says and what the reel is are kept apart.

A reel's key is the physical tape, written on its flange or leader at the first touch. When a tape turns out
to be what another box promised, the *names* move to it: box label, contents, role, what is assumed of its
recording while unheard, track sheets, songs' needs, parts. What happened to the tape itself never moves:
width, condition, heat, passes, stops and notes. Its base stays too where somebody saw it; where only a
box told it, and the two boxes told different ones, nobody knows it any more. No look tells a stock: where the
two boxes told different ones it may be either, and is asked about where one of them is suspect.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from core.errors import Refused
from core.reels.needs import base_of
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.stock import Stock
from core.tape.stocks import find_stock
from core.tape.written_like import written_like
from core.values import dataclass
from core.words import listed, speaks_of

NAMES = ("box_label", "contents", "role", "notes")
ASSUMED = (
    "speed",
    "eq",
    "level",
    "noise_reduction",
    "tones",
    "decoded",
    "varispeed",
    "timecode_track",
    "timecode_rate",
)


@dataclass(frozen=True, slots=True)
class NewLabel:
    """A box label to print: the tape that goes into the box, what the box said before, and says now.

    ``names`` are reels of the exchange that its note speaks of: nobody but the reader knows whether the box
    was meant or the tape, so the note is not altered.
    """

    reel: str
    before: str
    now: str
    names: tuple[str, ...] = ()

    @property
    def note_says(self) -> str:
        """``R-005: the note that comes to it names R-005 itself``; empty where it names none."""
        if not self.names:
            return ""
        named = listed([f"{one} itself" if one == self.reel else one for one in self.names])
        return f"{self.reel}: the note that comes to it names {named}; see whether that is still so"


def closed(found: Mapping[str, str]) -> dict[str, str]:
    """Who takes whose names, as a whole exchange: every chain that the finds leave open is closed.

    ``found`` says of a tape whose names are really its own: ``{"R-004": "R-002"}`` means that the tape R-004
    is what the box of R-002 promised. The tape at a chain's end takes the names that are left over.
    """
    if len(set(found.values())) < len(found):
        twice = next(one for one in found.values() if list(found.values()).count(one) > 1)
        raise Refused(f"two tapes cannot both be what the box of {twice} says")
    whole = {tape: names for tape, names in found.items() if tape != names}
    taker = {names: tape for tape, names in whole.items()}
    for end in [names for names in whole.values() if names not in whole]:
        start = end
        while start in taker:
            start = taker[start]
        whole[end] = start
    return whole


def chains(whole: Mapping[str, str]) -> tuple[tuple[str, ...], ...]:
    """The exchange as rings: each tape takes the names of the next one."""
    left = dict(whole)
    rings: list[tuple[str, ...]] = []
    while left:
        start = min(left)
        ring = [start]
        following = left.pop(start)
        while following != start:
            ring.append(following)
            following = left.pop(following)
        rings.append(tuple(ring))
    return tuple(rings)


def exchange(shelf: Shelf, found: Mapping[str, str]) -> tuple[Shelf, tuple[NewLabel, ...]]:
    """The shelf with the names where they belong, and the box labels to print."""
    whole = closed(found)
    for key in {*whole, *whole.values()}:
        shelf.reel(key)
    goes_to = {names: tape for tape, names in whole.items()}
    own = shelf.own_stocks()
    reels = [_renamed(shelf.reel(tape), shelf.reel(names), own) for tape, names in whole.items()]
    songs = [
        replace(song, needs=tuple(replace(n, reel=goes_to.get(n.reel, n.reel)) for n in song.needs))
        for song in shelf.songs.values()
        if any(need.reel in goes_to for need in song.needs)
    ]
    moved = replace(
        shelf,
        sheets=tuple(
            replace(row, reel=goes_to.get(row.reel, row.reel), copied_from=_copy(row.copied_from, goes_to))
            for row in shelf.sheets
        ),
        segments=tuple(replace(one, reel=goes_to.get(one.reel, one.reel)) for one in shelf.segments),
    )
    labels = tuple(
        NewLabel(
            tape,
            shelf.reel(tape).box_label,
            shelf.reel(names).box_label,
            tuple(one for one in sorted(whole) if speaks_of(shelf.reel(names).notes, one)),
        )
        for tape, names in sorted(whole.items())
    )
    return moved.with_reel(*reels).with_song(*songs), labels


def notes_elsewhere(shelf: Shelf, found: Mapping[str, str]) -> tuple[str, ...]:
    """``R-009: its note names R-005``: notes of tapes outside the exchange that speak of one inside it.

    They are left as they are too: nobody but the reader knows whether the box was meant or the tape.
    """
    inside = sorted(closed(found))
    named = {
        reel.key: [one for one in inside if speaks_of(reel.notes, one)]
        for reel in shelf.reels.values()
        if reel.key not in inside
    }
    return tuple(
        f"{key}: its note names {listed(names)}; see whether that is still so"
        for key, names in sorted(named.items())
        if names
    )


def stocks_in_doubt(before: Shelf, after: Shelf) -> tuple[str, ...]:
    """``F-1: BASF SM 911 or Ampex 456``: tapes whose stock is not known any more, and what each may be."""
    own = before.own_stocks()
    return tuple(
        f"{key}: {reel.stock}" + (", asked before it runs on" if written_like(reel.stock, own) else "")
        for key, reel in sorted(after.reels.items())
        if reel.stock != before.reel(key).stock
    )


_OR, _NOT_TOLD = " or ", "one not told"


def _either(tape: Reel, names: Reel, own: Mapping[str, Stock]) -> str:
    """The tape's stock where two boxes tell different ones: its own box's first, then the other's.

    Where the other box tells none, its own word stays; where its own box told none, that is said.
    """
    told, others = _words(tape.stock, own) or [_NOT_TOLD], _words(names.stock, own)
    words = {_named(word, own).casefold(): _named(word, own) for word in (*told, *others)}
    return _OR.join(words.values()) if others and len(words) > len(told) else tape.stock


def _words(stock: str, own: Mapping[str, Stock]) -> list[str]:
    """The one stock that is told, those of which it is one, or none."""
    return [stock] if find_stock(stock, own) is not None else [one for one in stock.split(_OR) if one.strip()]


def _named(word: str, own: Mapping[str, Stock]) -> str:
    """A stock with its first maker where it is one that is known, so that each is written one way."""
    stock = find_stock(word, own)
    if stock is None:
        return " ".join(word.split())
    return replace(stock, makers=stock.makers[:1]).name


def _renamed(tape: Reel, names: Reel, own: Mapping[str, Stock]) -> Reel:
    """The tape with the other's names, and with what is assumed of its recording while both are unheard."""
    taken = NAMES if tape.heard or names.heard else (*NAMES, *ASSUMED)
    renamed = replace(tape, **{name: getattr(names, name) for name in taken})
    unseen = tape.base_seen in ("", "no", "unknown")
    base = base_of(tape, own)
    doubted = unseen and base != base_of(names, own)
    renamed = replace(renamed, stock=_either(tape, names, own))
    if not doubted and base != base_of(renamed, own):
        return replace(renamed, base=base)  # both boxes told it by their stocks
    return replace(renamed, base="unknown") if doubted else renamed


def _copy(copied_from: str, goes_to: Mapping[str, str]) -> str:
    reel, colon, tracks = copied_from.rpartition(":")
    return f"{goes_to[reel]}{colon}{tracks}" if reel in goes_to else copied_from
