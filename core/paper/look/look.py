"""The few things that every sheet is made of: tables, boxes to tick, blanks to fill in, headings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from reportlab.lib.colors import black
from reportlab.platypus import CondPageBreak, Spacer, Table, TableStyle
from reportlab.platypus.flowables import Flowable

from core.paper.look.text import BODY, DECK, DECK_STRONG, HEAD, SMALL_STRONG, Text, Type

Cell = Flowable | str | int | None
_LINES = [
    ("LINEBELOW", (0, 0), (-1, -1), 0.5, black),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 2.5),
    ("RIGHTPADDING", (0, 0), (-1, -1), 2.5),
    ("TOPPADDING", (0, 0), (-1, -1), 2.5),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
]


class Tick(Flowable):
    """A box to tick, or one that is ticked."""

    def __init__(self, size: float = 10, *, ticked: bool = False) -> None:
        super().__init__()
        self.size, self.ticked = size, ticked

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        return self.size, self.size + 1

    def draw(self) -> None:
        """A square, drawn and not a letter, so that every printer has it."""
        self.canv.setLineWidth(0.9)
        self.canv.rect(0, 0, self.size, self.size)
        if self.ticked:
            self.canv.line(0, 0, self.size, self.size)
            self.canv.line(0, self.size, self.size, 0)


class Ticks(Flowable):
    """Sentences with a box to tick before each, run on along the line as far as they fit."""

    GAP, BOX, PAD = 14.0, 9.0, 4.0

    def __init__(self, lines: Sequence[str], type_: Type = BODY) -> None:
        super().__init__()
        self.lines, self.type, self.box = lines, type_, min(self.BOX, type_.size + 1)
        self._set: list[tuple[float, int, list[str]]] = []

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        from core.paper.look.letters import width_of
        from core.paper.look.text import broken

        self.width, self._set = width, []
        at, row, left = 0.0, 0, self.box + self.PAD
        for line in self.lines:
            wide = left + width_of(line, self.type.size, bold=self.type.bold)
            if at and at + wide > width:
                at, row = 0.0, row + 1
            pieces = broken(line, width - left, self.type.size, bold=self.type.bold)
            self._set.append((at, row, pieces))
            row += len(pieces) - 1
            at = width if len(pieces) > 1 else at + wide + self.GAP
        self.height = (row + 1) * self._line
        return width, self.height

    @property
    def _line(self) -> float:
        return self.type.line + 2.5

    def draw(self) -> None:
        """The boxes and their sentences."""
        from core.paper.look.text import draw_line

        for at, row, pieces in self._set:
            for number, piece in enumerate(pieces):
                base = self.height - (row + number) * self._line - self.type.size
                if not number:
                    self.canv.setLineWidth(0.9)
                    self.canv.rect(at, base - 1, self.box, self.box)
                draw_line(self.canv, at + self.box + self.PAD, base, piece, self.type)


class Blank(Flowable):
    """A line to write on, as wide as its column unless told, with a word before it.

    ``then`` is the word of a second, longer line to the right of the first.
    """

    def __init__(
        self, label: str = "", width: float = 0, height: float = 15, then: str = "", type_: Type = BODY
    ) -> None:
        super().__init__()
        self.label, self.asked, self.tall, self.then, self.type = label, width, height, then, type_

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        self.width = min(self.asked or width, width)
        return self.width, self.tall

    def draw(self) -> None:
        """The word and the line; and the second."""
        middle = self.width * 0.36 if self.then else self.width
        self._draw(self.label, 0, middle)
        if self.then:
            self._draw(self.then, middle + 10, self.width)

    def _draw(self, label: str, start: float, end: float) -> None:
        from core.paper.look.letters import width_of
        from core.paper.look.text import draw_line

        draw_line(self.canv, start, 2, label, self.type)
        start += width_of(label, self.type.size) + 4 if label else 0
        self.canv.setLineWidth(0.6)
        self.canv.line(min(start, end), 0.5, end, 0.5)


class Blanks(Flowable):
    """Words with a line behind each to write on, so many points long, run on as far as they fit."""

    GAP, PAD, TALL = 7.0, 3.0, 14.0

    def __init__(self, blanks: Sequence[tuple[str, float]], type_: Type = DECK) -> None:
        super().__init__()
        self.blanks, self.type = blanks, type_
        self._set: list[tuple[float, int, str, float, float]] = []

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        from core.paper.look.letters import width_of

        at, row, self._set = 0.0, 0, []
        for word, long in self.blanks:
            told = width_of(word, self.type.size, bold=self.type.bold) + self.PAD
            if at and at + told + long > width:
                at, row = 0.0, row + 1
            self._set.append((at, row, word, at + told, min(at + told + long, width)))
            at += told + long + self.GAP
        self.height = (row + 1) * self.TALL
        return width, self.height

    def draw(self) -> None:
        """The words and their lines."""
        from core.paper.look.text import draw_line

        self.canv.setLineWidth(0.6)
        for at, row, word, start, end in self._set:
            base = self.height - (row + 1) * self.TALL + 2
            draw_line(self.canv, at, base, word, self.type)
            self.canv.line(start, base - 1, end, base - 1)


def table(
    head: Sequence[Cell],
    rows: Iterable[Sequence[Cell]],
    widths: Sequence[float],
    *,
    column: float,
    type_: Type = BODY,
    box: bool = False,
    tall: float | None = None,
    most: int | None = 8,
    tight: bool = False,
    close: bool = False,
    together: Iterable[tuple[int, int]] = (),
) -> Table:
    """A table over the whole column: ``widths`` are shares of it; the head repeats on every page.

    ``box`` rules every cell, for handwriting; ``tall`` is the least height of a row in points; ``most`` the
    most lines of text a cell may have, so that no cell outgrows a page; ``tight`` leaves little
    room between rows, ``close`` less than is usual; ``together`` are first and last of rows, counted from 0,
    that no page parts.
    """
    total = sum(widths)
    cells = [[as_cell(one, type_, most) for one in row] for row in rows]
    named = SMALL_STRONG if type_.size < DECK.size else DECK_STRONG
    headed = [[as_cell(one, named, 3) for one in head]] if head else []
    style: list[tuple[Any, ...]] = [*_LINES]
    if headed:
        style.append(("LINEBELOW", (0, 0), (-1, 0), 1.0, black))
        style.append(("VALIGN", (0, 0), (-1, 0), "BOTTOM"))
    if box:
        style.append(("GRID", (0, len(headed)), (-1, -1), 0.5, black))
    if tight or close:
        style += [(f"{side}PADDING", (0, 0), (-1, -1), 0.5 if tight else 1.3) for side in ("TOP", "BOTTOM")]
    style += [("NOSPLIT", (0, a + len(headed)), (-1, b + len(headed))) for a, b in together if b > a]
    scaled = [column * width / total for width in widths]
    heights = [None] * len(headed) + [_height(row, scaled, tall) if tall else None for row in cells]
    return Table(
        headed + cells,
        scaled,
        rowHeights=heights,
        repeatRows=len(headed),
        style=TableStyle(style),
        hAlign="LEFT",
    )


def _height(row: Sequence[Flowable], widths: Sequence[float], least: float) -> float:
    heights = [cell.wrap(width - 5, 10_000)[1] for cell, width in zip(row, widths, strict=False)]
    return float(max(least, *(height + 5 for height in heights)))


def as_cell(value: Cell, type_: Type = BODY, most: int | None = 8) -> Flowable:
    """A cell of a table: text becomes a paragraph, nothing an empty one."""
    return value if isinstance(value, Flowable) else Text("" if value is None else value, type_, most)


def stacked(*parts: Flowable) -> Flowable:
    """Several things in one cell, one below another."""
    tight = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP")]
    style = TableStyle([*tight, ("BOTTOMPADDING", (0, 0), (-1, -1), 1)])
    return Table([[part] for part in parts], style=style)


def section(title: str, *parts: Flowable, room: float = 80) -> list[Flowable]:
    """A heading with what belongs to it; it moves on where less than ``room`` points are left."""
    return [CondPageBreak(room), Text(title, HEAD), *parts] if parts else []


def gap(points: float = 6) -> Spacer:
    """Room between two things."""
    return Spacer(1, points)
