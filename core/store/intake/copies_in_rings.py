"""Copies of themselves and copies in a ring, among rows that come in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from core.reels.reel import Segment
from core.shelf import Shelf
from core.songs.song import SheetRow
from core.songs.written.copies import copied_tracks
from core.store.rows.columns import shown

Track = tuple[str, int]
#: By kind and what tells one row from another, how a message names it.
Touched = Mapping[tuple[str, object], str]


def row_key(value: object) -> tuple[object, ...]:
    """What tells one row of a sheet, or one segment of a reel, from another."""
    if isinstance(value, SheetRow):
        more = () if value.track is not None else (value.part, value.take)
        return (value.sheet, value.track, value.song, *more)
    assert isinstance(value, Segment)
    return (value.reel, value.start)


def copies_in_rings(shelf: Shelf, touched: Touched) -> Iterator[str]:
    """Copies of themselves and copies in a ring: the row that closes the ring is named."""
    made: dict[Track, list[SheetRow]] = {}
    late = [row for row in shelf.sheets if ("sheets", row_key(row)) in touched]
    settled = [row for row in shelf.sheets if ("sheets", row_key(row)) not in touched]
    for row in (*settled, *late):
        if not row.reel or row.track is None or not row.copied_from:
            continue
        here = (row.reel, row.track)
        where = touched.get(("sheets", row_key(row)))
        if where is not None:
            if here in copied_tracks(row.copied_from):
                yield (
                    f"{where}, column copied_from: {shown(row.copied_from)} cannot be: a copy of itself: "
                    "name the older track, or nothing"
                )
                continue
            ring = _ring(here, row, made)
            if ring:
                names = " from ".join(f"{reel}:{track}" for reel, track in ring)
                yield (
                    f"{where}, column copied_from: {shown(row.copied_from)} cannot be: copies in a ring "
                    f"({names}): one of them is the oldest, let it name none"
                )
                continue
        made.setdefault(here, []).append(row)


def _ring(here: Track, row: SheetRow, made: Mapping[Track, list[SheetRow]]) -> list[Track] | None:
    """The tracks around, where following the sources of that row leads back to its own track."""
    paths = [[here, source] for source in copied_tracks(row.copied_from)]
    seen: set[Track] = set()
    while paths:
        path = paths.pop()
        at = path[-1]
        if at == here:
            return path
        if at in seen:
            continue
        seen.add(at)
        for one in made.get(at, ()):
            if not row.song or not one.song or row.song == one.song:
                paths += [[*path, source] for source in copied_tracks(one.copied_from)]
    return None
