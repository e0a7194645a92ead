"""How an album is laid out: its order, its carrier and the gap between songs, as the owner decides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from core.errors import Refused
from core.release.carriers import Carrier, carriers
from core.shelf import Shelf
from core.songs.song import Song

GAP_SECONDS = 2
"""Between two songs, where the owner says nothing; common practice of the trade."""
MOST_GAP_SECONDS = 60


def albums_of(shelf: Shelf) -> tuple[str, ...]:
    """The albums that songs name, in the order in which they are first met."""
    named: dict[str, str] = {}
    for song in shelf.songs.values():
        if song.album:
            named.setdefault(_plain(song.album), song.album)
    return tuple(named.values())


def songs_of(shelf: Shelf, name: str) -> tuple[Song, ...]:
    """The songs of an album in its order, those without a place last; Refused where there is none."""
    mine = [song for song in shelf.songs.values() if song.album and _plain(song.album) == _plain(name)]
    if not mine:
        raise Refused(
            f"no song has the album {name!r}: there is {', '.join(albums_of(shelf)) or 'no album yet'}"
        )
    return tuple(sorted(mine, key=lambda song: (song.order is None, song.order or 0)))


def with_order(shelf: Shelf, name: str, keys: Sequence[str]) -> Shelf:
    """The shelf with the album's songs in that order, from 1 on; Refused unless each is named once."""
    mine = songs_of(shelf, name)
    if sorted(keys) != sorted(song.key for song in mine):
        raise Refused(f"{mine[0].album} has changed meanwhile: nothing was moved")
    places = {key: number for number, key in enumerate(keys, 1)}
    moved = [replace(song, order=places[song.key]) for song in mine if song.order != places[song.key]]
    return shelf.with_song(*moved)


def moved(shelf: Shelf, name: str, key: str, step: int) -> Shelf:
    """The shelf with a song one place earlier (-1) or later (1); Refused at either end."""
    keys = [song.key for song in songs_of(shelf, name)]
    at = keys.index(key) if key in keys else -1
    to = at + step
    if at < 0 or not 0 <= to < len(keys):
        raise Refused(f"{key} is {'the first' if step < 0 else 'the last'} song already")
    keys[at], keys[to] = keys[to], keys[at]
    return with_order(shelf, name, keys)


def gap_of(shelf: Shelf, name: str) -> Fraction:
    """Seconds between two songs of a side."""
    return Fraction(str(_kept(shelf, name).get("gap_seconds", GAP_SECONDS)))


def carrier_of(shelf: Shelf, name: str) -> Carrier:
    """The carrier chosen for the album; the first of the table where none is."""
    chosen = _kept(shelf, name).get("carrier")
    return next((one for one in carriers() if one.key == chosen), carriers()[0])


def with_gap(shelf: Shelf, name: str, seconds: Fraction) -> Shelf:
    """The shelf with that gap between two songs; Refused outside 0 to 60 s."""
    if not 0 <= seconds <= MOST_GAP_SECONDS:
        raise Refused(f"a gap of {float(seconds):g} s: give 0 to {MOST_GAP_SECONDS} s")
    return _with(shelf, name, "gap_seconds", float(seconds))


def with_carrier(shelf: Shelf, name: str, key: str) -> Shelf:
    """The shelf with a carrier of the table chosen for the album; Refused for another."""
    if key not in {one.key for one in carriers()}:
        raise Refused(f"no carrier {key!r}: there are {', '.join(one.key for one in carriers())}")
    return _with(shelf, name, "carrier", key)


def _kept(shelf: Shelf, name: str) -> dict[str, object]:
    found = (one for key, one in shelf.of_kind("album").items() if _plain(key) == _plain(name))
    return dict(next(found, {}))


def _with(shelf: Shelf, name: str, what: str, value: object) -> Shelf:
    album = songs_of(shelf, name)[0].album
    key = next((one for one in shelf.of_kind("album") if _plain(one) == _plain(album)), album)
    return shelf.with_record("album", key, {**_kept(shelf, name), what: value})


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())
