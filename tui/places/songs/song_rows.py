"""The songs place as values: readiness, what each waits for, the album's running time."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from core.clock import clock_text
from core.evening.around.song_dates import song_state
from core.shelf import Shelf
from core.songs.song import Song
from core.songs.when import song_date
from core.values import dataclass
from core.words import counted
from tui.board.rows import Board


@dataclass(frozen=True, slots=True)
class SongRow:
    """One line of the songs place. ``says`` is its state or its dates in words, ``waits`` what for."""

    song: Song
    state: str
    says: str
    waits: str
    waits_short: str = ""  # for a row without room: the reels alone


def song_row(song: Song, board: Board) -> SongRow:
    """How the song stands on that board, and when it will be there."""
    date = board.song_dates.get(song.key) or song_date(
        song_state(board.shelf, song, board.at), None, None, None, board.at, kept=board.plan is not None
    )
    short = "" if getattr(date.told, "barred_by", ()) else ", ".join(getattr(date.told, "waits_for", ()))
    return SongRow(song, date.state, date.words, _waits(date.told, board), short)


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


def loose_line(shelf: Shelf) -> str:
    """How many sheets are of no tape yet, with the key that shows them; nothing where there is none."""
    loose = {row.sheet for row in shelf.sheets if not row.reel}
    away = {row.sheet for row in shelf.sheets if row.reel and row.reel not in shelf.reels}
    words = [counted(len(loose), "loose sheet")] if loose else []
    words += [f"{counted(len(away), 'sheet')} of tapes not on the shelf"] if away else []
    return f"{', '.join(words)}   {{songs.loose}} shows them" if words else ""
