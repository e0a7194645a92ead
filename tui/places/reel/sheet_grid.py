"""A track sheet as the grid that hangs on paper: one cell a track, so many across as there is room for."""

from __future__ import annotations

from dataclasses import dataclass, replace

from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import SheetRow

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
    """The sheets of that reel, or one empty sheet to begin with."""
    by_sheet: dict[str, list[SheetRow]] = {}
    for row in shelf.sheets_of(reel.key):
        by_sheet.setdefault(row.sheet, []).append(row)
    if not by_sheet:
        by_sheet[free_sheet(shelf, reel.key)] = []
    return tuple(_grid(sheet, rows, reel) for sheet, rows in by_sheet.items())


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


def with_cell(shelf: Shelf, cell: SheetRow) -> Shelf:
    """The shelf with that cell written; a cell in which nothing stands is no row."""
    same = [i for i, row in enumerate(shelf.sheets) if (row.sheet, row.track) == (cell.sheet, cell.track)]
    rows = list(shelf.sheets)
    blank = not any((cell.part, cell.player, cell.take, cell.copied_from, cell.notes, cell.extra))
    if same:
        rows[same[0] : same[0] + 1] = [] if blank else [cell]
    elif not blank:
        last = max((i for i, row in enumerate(rows) if row.sheet == cell.sheet), default=len(rows) - 1)
        rows.insert(last + 1, cell)
    return replace(shelf, sheets=tuple(rows))
