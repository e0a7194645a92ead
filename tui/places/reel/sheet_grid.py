"""A track sheet as the grid that hangs on paper: one cell a track, so many across as there is room for."""

from __future__ import annotations

from dataclasses import replace

from core.errors import Refused
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import SheetRow
from core.values import dataclass

NARROWEST = 18  # columns that a cell needs to be read


@dataclass(frozen=True, slots=True)
class Grid:
    """One sheet of a reel: its cells in track order; a track that nobody wrote on is an empty cell."""

    sheet: str
    reel: str
    song: str
    cells: tuple[SheetRow, ...]

    def across(self, width: int) -> int:
        """How many cells stand side by side: 8, 4, 2 or 1."""
        return next((n for n in (8, 4, 2) if width // n >= NARROWEST and n <= max(2, len(self.cells))), 1)


def grids(shelf: Shelf, reel: Reel) -> tuple[Grid, ...]:
    """The sheets of that reel, a grid for each song on one, or one empty sheet to begin with.

    Rows that name no song stand with those of the sheet's one song.
    """
    songs: dict[str, list[str]] = {}
    for row in shelf.sheets_of(reel.key):
        if row.song:
            songs.setdefault(row.sheet, []).append(row.song)
    by_song: dict[tuple[str, str], list[SheetRow]] = {}
    for row in shelf.sheets_of(reel.key):
        of_sheet = set(songs.get(row.sheet, ()))
        song = row.song or (next(iter(of_sheet)) if len(of_sheet) == 1 else "")
        by_song.setdefault((row.sheet, song), []).append(row)
    if not by_song:
        by_song[free_sheet(shelf, reel.key), ""] = []
    return tuple(_grid(sheet, rows, reel) for (sheet, _), rows in by_song.items())


def free_sheet(shelf: Shelf, reel: str) -> str:
    """A key for a new sheet of that reel."""
    taken = {row.sheet for row in shelf.sheets}
    names = [f"T-{reel}"[:40], *(f"T-{reel}-{number}"[:40] for number in range(2, 100))]
    return next(name for name in names if name not in taken)


def _grid(sheet: str, rows: list[SheetRow], reel: Reel) -> Grid:
    highest = max([row.track or 0 for row in rows], default=0)
    count = max(highest, reel.tracks or 0, 2)
    written = {row.track: row for row in rows if row.track is not None}
    song = next((row.song for row in rows if row.song), "")
    date = next((row.date for row in rows if row.date), "")
    empty = SheetRow(sheet, 1, reel.key, song, date)
    cells = tuple(written.get(track) or replace(empty, track=track) for track in range(1, count + 1))
    return Grid(sheet, reel.key, song, cells)


def row_key(row: SheetRow) -> tuple[str, int | None, str]:
    """What a row is known by: sheet, track and song."""
    return row.sheet, row.track, row.song


def with_cell(shelf: Shelf, cell: SheetRow, was: SheetRow | None = None) -> Shelf:
    """The shelf with that cell written in place of ``was``; a cell in which nothing stands is no row.

    Refused where the cell moves to a song that has a row for that track on that sheet already.
    """
    rows, key = list(shelf.sheets), row_key(was or cell)
    same = [i for i, row in enumerate(rows) if row_key(row) == key]
    if row_key(cell) != key and any(row_key(row) == row_key(cell) for row in rows):
        raise Refused(
            f"sheet {cell.sheet} has a row for track {cell.track} of song {cell.song or 'none'} already: "
            "empty that first"
        )
    blank = not any((cell.part, cell.player, cell.take, cell.copied_from, cell.notes, cell.wiped, cell.extra))
    if same:
        rows[same[0] : same[0] + 1] = [] if blank else [cell]
    elif not blank:
        last = max((i for i, row in enumerate(rows) if row.sheet == cell.sheet), default=len(rows) - 1)
        rows.insert(last + 1, cell)
    return replace(shelf, sheets=tuple(rows))
