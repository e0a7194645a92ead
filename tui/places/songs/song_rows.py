"""The songs place as values: readiness, what each waits for, the album's running time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from core.clock import clock_text
from core.evening.spans import covered
from core.reels.needs import barred
from core.songs.readiness import readiness
from core.songs.song import Song
from core.words import day_text
from tui.board.rows import Board


@dataclass(frozen=True, slots=True)
class SongRow:
    """One line of the songs place. ``says`` is its state in words, ``waits`` what for."""

    song: Song
    state: str
    says: str
    waits: str
    promised: datetime | None


def song_row(song: Song, board: Board, promises: Mapping[str, datetime | None]) -> SongRow:
    """How the song stands on that board, with the time promised for it."""
    shelf, at = board.shelf, board.at
    own = shelf.own_stocks()
    told = readiness(
        song,
        shelf.reels,
        lambda reel: barred(reel, shelf.studio, at, own),
        lambda one: covered(shelf, one),
    )
    promised = promises.get(song.key)
    return SongRow(song, told.state, _says(told.state, board, promised, song), _waits(told, board), promised)


def _says(state: str, board: Board, promised: datetime | None, song: Song) -> str:
    if state == "ready":
        return "ready"
    if state == "barred":
        return "barred"
    if state == "no reels":
        return "no reels"
    if promised is not None:
        return f"ready by {day_text(promised.date())}"
    return "not in this plan" if board.plan is not None else "not planned yet"


def _waits(told: object, board: Board) -> str:
    barred_by = getattr(told, "barred_by", ())
    if barred_by:
        return "; ".join(f"{reel}: {why}" for reel, why in barred_by)
    words = []
    for reel in getattr(told, "waits_for", ()):
        if reel in board.shelf.reels:
            step = board.row(reel).step
            words.append(f"{reel} ({step.words})" if step.words else reel)
        else:
            words.append(f"{reel} (not on the shelf)")
    return f"waits for {', '.join(words)}" if words else ""


def albums(songs: Iterable[Song]) -> list[tuple[str, list[Song]]]:
    """The songs by album, albums in the order in which they are first met, songs of none last."""
    by_album: dict[str, list[Song]] = {}
    for song in songs:
        by_album.setdefault(song.album, []).append(song)
    loose = by_album.pop("", [])
    out = [(album, sorted(found, key=_order)) for album, found in by_album.items()]
    return [*out, ("", loose)] if loose else out


def _order(song: Song) -> tuple[int, int]:
    return (0, song.order) if song.order is not None else (1, 0)


def album_line(album: str, rows: Iterable[SongRow]) -> str:
    """``album: Salt Road   7 of 12 ready   31:40 of about 42:00``."""
    listed = list(rows)
    ready = [row for row in listed if row.state == "ready"]
    text = f"{f'album: {album}' if album else 'on no album'}   {len(ready)} of {len(listed)} ready"
    lengths = [row.song.target_length for row in listed if row.song.target_length is not None]
    if not lengths:
        return text
    there = sum((r.song.target_length for r in ready if r.song.target_length is not None), Fraction(0))
    about = "about " if len(lengths) < len(listed) else ""
    return f"{text}   {clock_text(there)} of {about}{clock_text(sum(lengths, Fraction(0)))}"
