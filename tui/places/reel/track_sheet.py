"""The track sheet: one cell a track, typed cell by cell as on paper."""

from __future__ import annotations

import os
from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from core.shelf import Shelf
from core.songs.song import SheetRow
from tui.asking.typing import Typing
from tui.board.fields import Field, reading, track_fields
from tui.frame.drawn.line_list import LineList
from tui.frame.place import Place
from tui.keys.keys import bindings
from tui.places.reel.sheet_grid import Grid, free_sheet, grids, row_key, with_cell
from tui.places.reel.track_grid import TrackGrid
from tui.safe_text import fit, plain


class CellLine(Static):
    """Everything that stands in the cell under the cursor."""


class TrackSheet(Place):
    """The sheets of one reel, one at a time."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "track_sheet.tcss")
    PLACES: ClassVar[tuple[str, ...]] = ("sheet",)
    FIGURES = "sheet"
    BINDINGS: ClassVar[list[BindingType]] = bindings("sheet")

    def __init__(self, reel: str, sheet: str = "", track: int = 0) -> None:
        super().__init__()
        self.reel = reel
        self.number = 0
        self._first = (sheet, track)
        self.begun: str = ""
        self.fields = track_fields()
        self.field_at = 0

    def body(self) -> Iterable[Widget]:
        """The grid, the cell in full, and the line to type in."""
        yield TrackGrid()
        yield CellLine("", markup=False)
        yield Typing()

    def heading(self) -> str:
        """Sheet, reel and song."""
        grid = self.grid
        song = self.home.shelf.songs.get(grid.song)
        title = f", {song.title or song.key}" if song is not None else f", {grid.song}" if grid.song else ""
        count = len(self.sheets)
        return f"Sheet {grid.sheet} ({self.number + 1} of {count})  {self.reel}{title}"

    @property
    def sheets(self) -> tuple[Grid, ...]:
        """The reel's sheets, and the one that was begun."""
        shelf = self.home.shelf
        there = grids(shelf, shelf.reel(self.reel))
        if self.begun and all(grid.sheet != self.begun for grid in there):
            blank = there[0].cells[0]
            count = max(shelf.reel(self.reel).tracks or 0, 2)
            cells = tuple(SheetRow(self.begun, track, blank.reel) for track in range(1, count + 1))
            return (*there, Grid(self.begun, self.reel, "", cells))
        return there

    @property
    def grid(self) -> Grid:
        """The sheet that is open."""
        sheets = self.sheets
        return sheets[min(self.number, len(sheets) - 1)]

    def laid(self) -> None:
        """Shows the sheet."""
        if self.reel not in self.home.shelf.reels:
            self.say(f"{self.reel} is not on the shelf any more", bad=True)
            return
        sheet, track = self._first
        if sheet:
            self.number = next((n for n, grid in enumerate(self.sheets) if grid.sheet == sheet), 0)
        if track:
            self.query_one(TrackGrid).track = track - 1
        self._first = ("", 0)
        self.query_one(TrackGrid).show(self.grid)
        self._tell()

    @on(LineList.Moved)
    def _tell(self) -> None:
        cell = self.query_one(TrackGrid).cell
        if cell is None:
            return
        words = [f"{f.label}: {f.text(cell)}" for f in self.fields if f.text(cell)]
        draft = self.home.drafts.get(self._draft(cell, self.fields[self.field_at]))
        half = f"   ~ typed, not taken yet: {draft}" if draft else ""
        begin = [] if cell.part else [self.home.keyed("{sheet.edit} writes the part")]
        told = "   ".join([*(words or ["nothing is written here"]), *begin])
        text = f" track {cell.track}   {told}{half}"
        self.query_one(CellLine).update(plain(fit(text, max(1, self.size.width))))

    def _draft(self, cell: SheetRow, field: Field) -> str:
        song = f" of {cell.song}" if cell.song else ""
        return f"sheet {cell.sheet} track {cell.track}{song} {field.label}"

    def reason_not(self, action: str) -> str | None:
        """With one sheet there is no next one."""
        if action == "next_sheet" and len(self.sheets) < 2:
            return "this reel has one sheet; A begins another"
        return super().reason_not(action)

    def action_along(self, step: int) -> None:
        """The cell beside."""
        grid = self.query_one(TrackGrid)
        grid.go(grid.track + step)

    def action_edit(self) -> None:
        """Opens the cell: part, player, take and the rest one after another."""
        self._open(0)

    def _open(self, number: int) -> None:
        cell = self.query_one(TrackGrid).cell
        if cell is None:
            return
        self.field_at = number
        field, studio = self.fields[number], self.home.shelf.studio
        text = self.home.drafts.get(self._draft(cell, field), field.text(cell))
        self.query_one(Typing).open(
            text, f"track {cell.track} {field.label}", lambda typed: reading(field, typed, studio)
        )

    @on(Typing.Changed)
    def _typed(self, event: Typing.Changed) -> None:
        cell = self.query_one(TrackGrid).cell
        if cell is not None:
            self.home.drafts[self._draft(cell, self.fields[self.field_at])] = event.text

    @on(Typing.Done)
    def _entered(self, event: Typing.Done) -> None:
        cell, field = self.query_one(TrackGrid).cell, self.fields[self.field_at]
        if cell is None:
            return
        words, bad = reading(field, event.text, self.home.shelf.studio)
        if bad:
            self.say(f"{field.label} {words}", bad=True)
            return
        self.home.drafts.pop(self._draft(cell, field), None)
        if event.text != field.text(cell):
            self._write(cell, field, event.text)
        if self.field_at + 1 < len(self.fields):
            self._open(self.field_at + 1)
        else:
            self._close()
            self.action_along(1)

    def _write(self, cell: SheetRow, field: Field, text: str) -> None:
        home = self.home

        def act(shelf: Shelf) -> Shelf:
            there = next((row for row in shelf.sheets if row_key(row) == row_key(cell)), cell)
            return with_cell(shelf, field.put(there, text, shelf.studio), there)

        what = f"sheet {cell.sheet} track {cell.track} {field.label}"
        done = home.do(lambda: home.book.change(act, what=what), f"{what}: {text or 'emptied'}")
        if done is not None and field.name == "song":
            self._follow(cell.sheet, text)

    def _follow(self, sheet: str, song: str) -> None:
        """Goes along with a cell that was given another song."""
        there = [n for n, grid in enumerate(self.sheets) if (grid.sheet, grid.song) == (sheet, song)]
        self.number = there[0] if there else self.number
        self.laid()
        self.refresh_head()

    def _close(self) -> None:
        self.query_one(Typing).close()
        self.query_one(TrackGrid).focus()
        self.laid()

    def action_clear(self) -> None:
        """Empties the cell."""
        cell, home = self.query_one(TrackGrid).cell, self.home
        if cell is not None:
            empty = SheetRow(cell.sheet, cell.track, cell.reel, cell.song)
            what = f"empty sheet {cell.sheet} track {cell.track}"
            home.do(
                lambda: home.book.change(lambda s: with_cell(s, empty), what=what),
                home.undoable(what),
            )

    def action_add(self) -> None:
        """Begins another sheet of this reel; it is kept with its first word."""
        self.begun = free_sheet(self.home.shelf, self.reel)
        self.number = len(self.sheets) - 1
        self.laid()
        self.refresh_head()
        self.refresh_foot()

    def action_next_sheet(self) -> None:
        """The reel's next sheet."""
        self.number = (self.number + 1) % len(self.sheets)
        self.laid()
        self.refresh_head()

    def action_out(self) -> None:
        """Out of the cell first, keeping what was typed."""
        if self.query_one(Typing).is_open:
            self._close()
        else:
            super().action_out()
