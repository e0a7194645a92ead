"""The only maker of text on paper: breaks it into lines, keeps it inside its column, draws it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus.flowables import Flowable

from core.paper.look.letters import cleaned, runs, unprintable, width_of
from core.paper.look.line_order import in_line_order, joined_up, reads_from_right
from core.values import dataclass

Align = Literal["left", "centre", "right"]
_EAST = r"\u2e80-\u9fff\uac00-\ud7af\uf900-\ufaff\uff00-\uffef"
_CHUNK = re.compile(rf"[{_EAST}]|[^\s{_EAST}]+|\s+")
_MORE = "…"


@dataclass(frozen=True, slots=True)
class Type:
    """How text is set: size and leading in points."""

    size: float = 9.0
    bold: bool = False
    align: Align = "left"
    leading: float = 0.0
    before: float = 0.0
    after: float = 0.0
    struck: bool = False

    @property
    def line(self) -> float:
        """Points from one line to the next."""
        return self.leading or self.size * 1.22


BODY = Type()
STRONG = Type(bold=True)
SMALL = Type(8.0)
SMALL_STRONG = Type(8.0, bold=True)
TINY = Type(7.0)
RIGHT = Type(align="right")
HEAD = Type(11.5, bold=True, before=9, after=3)
TITLE = Type(17, bold=True, after=2)
CLOCK = Type(12, bold=True)
#: What is read at the deck, at arm's length, with dirty hands: nothing smaller than 10 points, times 12.
DECK = Type(10)
DECK_STRONG = Type(10, bold=True)
UNTIL = Type(12)


def broken(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """The lines, in reading order, into which text falls in a column of ``width`` points."""
    lines: list[str] = []
    for typed in joined_up(cleaned(text)).split("\n"):
        lines.extend(_wrapped(typed, width, size, bold=bold))
    return lines


def _wrapped(typed: str, width: float, size: float, *, bold: bool) -> Iterator[str]:
    line, used = "", 0.0
    for chunk in _chunks(typed, width, size, bold=bold):
        wide = width_of(chunk, size, bold=bold)
        if line and used + wide > width + 0.01 and not chunk.isspace():
            yield line.rstrip()
            line, used = "", 0.0
        if line or not chunk.isspace():
            line, used = line + chunk, used + wide
    yield line.rstrip()


def _chunks(typed: str, width: float, size: float, *, bold: bool) -> Iterator[str]:
    """Words, spaces and single eastern letters; a word that is wider than the column is cut."""
    for word in _CHUNK.findall(typed):
        if word.isspace() or width_of(word, size, bold=bold) <= width:
            yield word
            continue
        part, used = "", 0.0
        for letter in word:
            wide = width_of(letter, size, bold=bold)
            if part and used + wide > width:
                yield part
                part, used = "", 0.0
            part, used = part + letter, used + wide
        yield part


def cut(text: str, width: float, size: float, *, bold: bool = False) -> str:
    """The text on one line, ended with … where it is wider than ``width`` points."""
    line = joined_up(" ".join(cleaned(text).split()))
    if width_of(line, size, bold=bold) <= width:
        return line
    room = width - width_of(_MORE, size, bold=bold)
    kept, used = "", 0.0
    for letter in line:
        used += width_of(letter, size, bold=bold)
        if used > room:
            break
        kept += letter
    return kept.rstrip() + _MORE


def draw_line(
    canvas: Canvas, x: float, y: float, text: str, type_: Type = BODY, width: float | None = None
) -> None:
    """Draws one line with its baseline at y; x is its left, middle or right edge, as it is aligned.

    With ``width`` it is cut to that many points. What cannot be printed is remembered on the canvas.
    """
    words = joined_up(" ".join(cleaned(text).split()))
    _draw(canvas, x, y, words if width is None else cut(text, width, type_.size, bold=type_.bold), type_)


def _draw(canvas: Canvas, x: float, y: float, words: str, type_: Type) -> None:
    line = in_line_order(words)
    wide = width_of(line, type_.size, bold=type_.bold)
    left = x - {"left": 0.0, "centre": wide / 2, "right": wide}[type_.align]
    lost = getattr(canvas, "lost", None)
    if lost is not None:
        lost.update(dict.fromkeys(unprintable([words])))
    for face, part in runs(line, bold=type_.bold):
        canvas.setFont(face, type_.size)
        canvas.drawString(left, y, part)
        left += width_of(part, type_.size, bold=type_.bold)
    if type_.struck and wide:
        canvas.setLineWidth(0.9)
        canvas.line(left - wide, y + type_.size * 0.3, left, y + type_.size * 0.3)


class Text(Flowable):
    """Words in a column; they never leave it. ``most`` lines at the most, the rest is told by an ellipsis."""

    def __init__(self, text: object, type_: Type = BODY, most: int | None = None) -> None:
        super().__init__()
        self.text = str(text)
        self.type = replace(type_, align="right") if self._turned(type_) else type_
        self.most = most
        self._lines: list[str] | None = None
        self._broken_at = 0.0

    def _turned(self, type_: Type) -> bool:
        return type_.align == "left" and reads_from_right(self.text)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Width taken and height in points."""
        if self._lines is None or (self._broken_at and self._broken_at != width):
            self._lines = broken(self.text, width, self.type.size, bold=self.type.bold)
            self._broken_at = width
            if self.most and len(self._lines) > self.most:
                last = self._lines[self.most - 1] + " " + self._lines[self.most] + _MORE * 2
                kept = cut(last, width, self.type.size, bold=self.type.bold)
                self._lines = [*self._lines[: self.most - 1], kept]
        self.width, self.height = width, len(self._lines) * self.type.line
        return width, self.height

    def split(self, width: float, height: float) -> list[Flowable]:
        """Two pieces, the first of which fits the height; none if not one line does."""
        self.wrap(width, height)
        fits = int(height / self.type.line + 1e-6)
        lines = self._lines or []
        if fits <= 0 or fits >= len(lines):
            return [] if fits <= 0 else [self]
        return [self._piece(lines[:fits]), self._piece(lines[fits:])]

    def _piece(self, lines: list[str]) -> Text:
        piece = Text("\n".join(lines), self.type)
        piece._lines = lines
        return piece

    def draw(self) -> None:
        """Draws the lines from the top down."""
        size = self.type.size
        x = {"left": 0.0, "centre": self.width / 2, "right": self.width}[self.type.align]
        y = self.height - (self.type.line - size) / 2 - size * 0.80
        for line in self._lines or []:
            _draw(self.canv, x, y, line, self.type)
            y -= self.type.line

    def getSpaceBefore(self) -> float:
        """Points kept free above."""
        return self.type.before

    def getSpaceAfter(self) -> float:
        """Points kept free below."""
        return self.type.after

    def minWidth(self) -> float:
        """The narrowest column it can be set in."""
        return self.type.size
