"""Which tracks of two tapes to hold against one another first: what the sheets claim is the same sound."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.songs.song import SheetRow
from core.songs.written.copies import copied_tracks
from core.songs.written.part_names import folded_take

Pair = tuple[int, int]


def claimed_pairs(rows: Sequence[SheetRow], one: str, two: str) -> list[Pair]:
    """Tracks of the two tapes that a sheet tells are copied, then those of one part and take."""
    here = [row for row in rows if row.reel == one and row.track is not None]
    there = [row for row in rows if row.reel == two and row.track is not None]
    pairs = [*_copies(here, two), *((b, a) for a, b in _copies(there, one)), *_alike(here, there)]
    return list(dict.fromkeys(pairs))


def _copies(rows: Sequence[SheetRow], source: str) -> Iterator[Pair]:
    for row in rows:
        for reel, track in copied_tracks(row.copied_from):
            if reel == source and row.track is not None:
                yield row.track, track


def _alike(here: Sequence[SheetRow], there: Sequence[SheetRow]) -> Iterator[Pair]:
    for row in here:
        for other in there:
            same_take = folded_take(row.take) == folded_take(other.take)
            if row.part and _folded(row.part) == _folded(other.part) and row.song == other.song and same_take:
                yield row.track or 0, other.track or 0


def code_is_copied(rows: Sequence[SheetRow], one: tuple[str, int], two: tuple[str, int]) -> bool:
    """Whether the sheets tell that a track of code is a copy of another, or both of a third."""
    mine = [
        {track for row in rows if (row.reel, row.track) == key for track in copied_tracks(row.copied_from)}
        for key in (one, two)
    ]
    return one in mine[1] or two in mine[0] or bool(mine[0] & mine[1])


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())
