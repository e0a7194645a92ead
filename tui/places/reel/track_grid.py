"""The cells of a track sheet on the screen: number and part, player, take; drawn line by line."""

from __future__ import annotations

from collections.abc import Sequence

from core.songs.song import SheetRow
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.places.reel.sheet_grid import Grid
from tui.safe_text import fit

LINES = 4  # a rule, part, player, take


class TrackGrid(LineList):
    """One cell a track. The cursor stands on a cell; the lists' cursor is the first line of its row."""

    def __init__(self) -> None:
        super().__init__()
        self.grid: Grid | None = None
        self.track = 0

    def show(self, grid: Grid) -> None:
        """Shows that sheet."""
        self.grid = grid
        self.track = min(self.track, len(grid.cells) - 1)
        self.lay(-(-len(grid.cells) // self.across) * LINES, self.track // self.across * LINES)

    @property
    def across(self) -> int:
        """Cells side by side."""
        return self.grid.across(max(self.size.width - 1, 1)) if self.grid is not None else 1

    @property
    def cell(self) -> SheetRow | None:
        """The cell under the cursor."""
        return self.grid.cells[self.track] if self.grid is not None else None

    def on_resize(self) -> None:
        """Another width has another number of cells across."""
        if self.grid is not None:
            self.show(self.grid)

    def go(self, track: int) -> None:
        """Puts the cursor on that cell, counted from 0."""
        if self.grid is None or not 0 <= track < len(self.grid.cells):
            return
        self.track = track
        row = track // self.across * LINES
        self.cursor = min(row + LINES - 1, self.count - 1)
        self.cursor = row
        self.refresh()
        self.post_message(self.Moved())

    def action_move(self, lines: int) -> None:
        """Up and down a row of cells."""
        step = self.across if abs(lines) < 1000 else self.across * 4
        self.go(self.track + (step if lines > 0 else -step))

    def action_first(self) -> None:
        """The first track."""
        self.go(0)

    def action_last(self) -> None:
        """The last track."""
        self.go(len(self.grid.cells) - 1 if self.grid is not None else 0)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One line of a row of cells."""
        if self.grid is None:
            return ()
        across = self.across
        first, line = index // LINES * across, index % LINES
        out: list[Part] = []
        for number in range(across):
            room = width // across if number < across - 1 else width - width // across * (across - 1)
            track = first + number
            cell = self.grid.cells[track] if track < len(self.grid.cells) else None
            out += self._piece(cell, line, room, here=track == self.track)
        return out

    def _style(self, role: str, *, on_it: bool) -> object:  # type: ignore[override]
        return super()._style(role, on_it=False)

    def _piece(self, cell: SheetRow | None, line: int, room: int, *, here: bool) -> list[Part]:
        signs = glyphs(plain=getattr(self.app, "plain_signs", False))
        if cell is None:
            return [(" " * room, "dim")]
        if line == 0:
            return [("+" + signs.rest * (room - 1), "dim")]
        number = f"{signs.cursor if here else ' '}{cell.track:>2} " if line == 1 else "    "
        where = f" {cell.copied_from}" if cell.copied_from else ""
        text = {1: cell.part, 2: cell.player, 3: f"{cell.take}{where}"}[line]
        role = "cursor" if here else "word" if line == 1 else "dim"
        return [("|", "dim"), (fit(f"{number}{text}", room - 1), role)]
