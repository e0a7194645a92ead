"""A song is on one album: what is told of one whose album column names several."""

from __future__ import annotations

from collections.abc import Iterable

from core.songs.song import Song


def on_several(song: Song, songs: Iterable[Song]) -> str:
    """One line for a song that names several albums, one of them another song's; empty for any other.

    A semicolon may stand in a title; only what another song is on as well is taken for an album.
    """
    pieces = [" ".join(piece.split()) for piece in song.album.split(";")]
    if len(pieces) < 2:
        return ""
    there = {" ".join(one.album.casefold().split()) for one in songs if one is not song and one.album}
    if not any(piece.casefold() in there for piece in pieces):
        return ""
    return (
        f"{song.key} names {len(pieces)} albums, {song.album!r}: a song is on one; name one, and "
        "for the other add a song of its own with the same needs"
    )
