"""A line-up sheet on the screen: a line each, its target, and a cell for each track."""

from __future__ import annotations

import re
from collections.abc import Sequence

from core.lineup.rows import SheetRow
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.safe_text import fit

SAYS, MUST, CELL = 26, 27, 9
_MARKS = {"pass": "", "fail": "!", "blank": "", "not judged": ""}


class ReadingGrid(LineList):
    """The cursor stands on a line and, where it has cells, on one of them."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: tuple[SheetRow, ...] = ()
        self.cell = 0

    def show(self, rows: Sequence[SheetRow]) -> None:
        """Shows that sheet."""
        self.rows = tuple(rows)
        self.lay(len(self.rows))

    @property
    def row(self) -> SheetRow | None:
        """The line under the cursor."""
        return self.rows[self.cursor] if self.cursor < len(self.rows) else None

    def along(self, step: int) -> None:
        """The cell beside, within the line."""
        row = self.row
        self.cell = max(0, min(self.cell + step, len(row.cells) - 1)) if row is not None else 0
        self.refresh()
        self.post_message(self.Moved())

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """Tick, what to do, what it must read, and as many cells as there is room for."""
        row, here = self.rows[index], index == self.cursor
        sign = glyphs(plain=getattr(self.app, "plain_signs", False)).cursor if here else " "
        if not row.cells:
            return [
                (fit(f"{sign}[{'x' if row.ticked else ' '}] {shortened(row.says, width - 5)}", width), "word")
            ]
        name = shortened(named(row), SAYS - 3)  # the whole of it stands under the list
        out: list[Part] = [(fit(f"{sign} {name}", SAYS), "word"), (fit(row.must, MUST), "dim")]
        room = max(1, (width - SAYS - MUST) // CELL)
        at = min(self.cell, len(row.cells) - 1)
        first = max(0, at - room + 1)
        for number in range(first, min(len(row.cells), first + room)):
            verdict = row.verdicts[number]
            track = f"{number + 1}:" if len(row.cells) > 1 else ""
            text = f"{track}{row.cells[number].removesuffix(' dB') or '__'}{_MARKS[verdict]}"
            shown = f">{text}" if here and number == at else f" {text}"
            out.append((fit(shown, CELL), {"fail": "bad", "pass": "good"}.get(verdict, "dim")))
        return out


def named(row: SheetRow) -> str:
    """What a line is called: its sentence without what it must read."""
    return row.says.partition(" reads")[0]


def shortened(says: str, width: int) -> str:
    """As many of the sentence's parts as have room, ended where a part ends; one long part is cut."""
    if len(says) <= width:
        return says
    kept = ""
    for part in re.split(r"(?<=[.;:,]) ", says):
        if len((kept + part).rstrip(" ;:,")) > width:
            break
        kept += part + " "
    return kept.rstrip(" ;:,") or says
