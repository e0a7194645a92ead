"""What an album as a whole still lacks: places of its own, answers of players, codes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from core.release.codes import isrc_trouble, iswc_trouble, plain_isrc
from core.release.people.credits import Credit
from core.release.waits import PLAYERS, YOU, Missing
from core.shelf import Shelf
from core.songs.on_albums import on_several
from core.songs.song import Song
from core.words import listed


def of_album(songs: Sequence[Song], who: Iterable[Credit]) -> tuple[Missing, ...]:
    """What the album as a whole lacks: places of its own, answers of players, codes."""
    said = [Missing(YOU, one) for one in (*_places_twice(songs), *_codes(songs))]
    said += [Missing(PLAYERS, f"credits: {one.open}") for one in who if one.open]
    return tuple(said)


def half_on(shelf: Shelf, album: str) -> tuple[Missing, ...]:
    """Songs that name this album among several: they are not on it until they name it alone."""
    every, name = tuple(shelf.songs.values()), _folded(album)
    mine = [song for song in every if name in (_folded(piece) for piece in song.album.split(";"))]
    return tuple(Missing(YOU, told) for song in mine if (told := on_several(song, every)))


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())


def _places_twice(songs: Sequence[Song]) -> list[str]:
    by_place: dict[int, list[str]] = {}
    for song in songs:
        if song.order is not None:
            by_place.setdefault(song.order, []).append(song.key)
    twice = {place: keys for place, keys in by_place.items() if len(keys) > 1}
    return [f"{listed(keys)} have one place on the album: {place}" for place, keys in twice.items()]


def _codes(songs: Sequence[Song]) -> list[str]:
    said = []
    for song in songs:
        for code, trouble in ((song.isrc, isrc_trouble), (song.iswc, iswc_trouble)):
            wrong = trouble(code) if code else None
            if wrong:
                said.append(f"{song.key}: {code} {wrong}")
    by_code: dict[str, list[str]] = {}
    for song in songs:
        if song.isrc:
            by_code.setdefault(plain_isrc(song.isrc), []).append(song.key)
    said += [f"{listed(keys)} have one ISRC: {code}" for code, keys in by_code.items() if len(keys) > 1]
    lacking = [song.key for song in songs if not song.isrc]
    if lacking and len(lacking) < len(songs):
        said.append(f"no ISRC for {', '.join(lacking)}")
    return said
