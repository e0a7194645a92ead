"""Rows and edits that contradict what else is told: impossible figures, tracks that are not, copies in rings.

Of two that contradict one another the later is named: the row of a sheet before the reel's, where both came.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.reels.possible import made_impossible
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import SheetRow
from core.songs.written.copies import copied_tracks
from core.store.intake.copies_in_rings import Touched, copies_in_rings, row_key
from core.store.rows.columns import shown


def contradictions(shelf: Shelf, touched: Touched, before: Shelf) -> Iterator[str]:
    """A line for everything that what was touched makes impossible; what nobody touched is left alone.

    Figures of a tape that stood so ``before`` are kept as they are, whatever else of it is touched.
    """
    yield from _reels(shelf, touched, before)
    yield from _tracks(shelf, touched)
    yield from copies_in_rings(shelf, touched)
    yield from _two_reels(shelf, touched)


def _reels(shelf: Shelf, touched: Touched, before: Shelf) -> Iterator[str]:
    for key, reel in shelf.reels.items():
        where = touched.get(("reels", key))
        if where is None:
            continue
        was = before.reels.get(key) or Reel(key)
        for one in made_impossible(was, reel, shelf.studio):
            if one.column == "tracks":
                continue  # a table of heads is never whole: a file's count is asked about, and kept
            yield f"{where}, column {one.column}: {shown(one.text)} cannot be: {one.why}"


def _tracks(shelf: Shelf, touched: Touched) -> Iterator[str]:
    """Tracks beyond those of the reel, on the tape itself and at the source of a copy."""
    told_of: set[str] = set()
    for row in shelf.sheets:
        for column, reel, track in _named(row):
            there = shelf.reels.get(reel)
            if there is None or there.tracks is None or track <= there.tracks:
                continue
            where = touched.get(("sheets", row_key(row)))
            if where is not None:
                text = str(track) if column == "track" else row.copied_from
                has = (
                    f"{reel} has {_count(there.tracks)}: give a track that it has, or its right tracks first"
                )
                yield f"{where}, column {column}: {shown(text)} cannot be: {has}"
            elif ("reels", reel) in touched and reel not in told_of:
                told_of.add(reel)
                told = (
                    f"sheet {row.sheet} has a track {track} on it"
                    if column == "track"
                    else (f"sheet {row.sheet} has a copy of its track {track}")
                )
                yield (
                    f"{touched['reels', reel]}, column tracks: {shown(str(there.tracks))} cannot be: {told}: "
                    "change the sheet first"
                )


def _named(row: SheetRow) -> Iterator[tuple[str, str, int]]:
    if row.reel and row.track is not None:
        yield "track", row.reel, row.track
    last: dict[str, int] = {}
    for reel, track in copied_tracks(row.copied_from):
        last[reel] = max(track, last.get(reel, 0))
    yield from (("copied_from", reel, track) for reel, track in last.items())


def _count(tracks: int) -> str:
    return f"{tracks} track{'s' * (tracks != 1)}"


def _two_reels(shelf: Shelf, touched: Touched) -> Iterator[str]:
    """Sheets whose rows lie on two reels, or some on none: the last row that came is named."""
    by_sheet: dict[str, list[SheetRow]] = {}
    for row in shelf.sheets:
        by_sheet.setdefault(row.sheet, []).append(row)
    for sheet, rows in by_sheet.items():
        places = [
            (row, where) for row in rows if (where := touched.get(("sheets", row_key(row)))) is not None
        ]
        if len({row.reel for row in rows}) < 2 or not places:
            continue
        row, where = places[-1]
        other = next(one.reel for one in rows if one.reel != row.reel)
        if not row.reel or not other:
            yield (
                f"{where}, column reel: {shown(row.reel)} cannot be: the other rows of sheet {sheet} are "
                f"{f'on {other}' if other else 'loose'}: a sheet belongs to one tape or to none, write the "
                "same in each of its rows"
            )
            continue
        yield (
            f"{where}, column reel: {shown(row.reel)} cannot be: sheet {sheet} is on {other} already: it "
            "belongs to one tape, give one of the two a sheet key of its own"
        )
