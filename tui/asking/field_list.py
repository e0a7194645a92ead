"""A card as lines: a heading for each group, a line for each field, half-typed text marked as such."""

from __future__ import annotations

from collections.abc import Sequence

from core.values import dataclass
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.safe_text import fit


@dataclass(frozen=True, slots=True)
class FieldLine:
    """One line: a heading (no name), or a field with its label, its text, a draft, and a word beside it."""

    name: str
    label: str
    text: str = ""
    draft: str | None = None
    beside: str = ""
    role: str = "word"


class FieldList(LineList):
    """The lines of one card."""

    label_width = 20

    def __init__(self) -> None:
        super().__init__()
        self.lines: tuple[FieldLine, ...] = ()

    def show(self, lines: Sequence[FieldLine]) -> None:
        """Shows these lines; the cursor stays on its field."""
        here = self.name_here
        self.lines = tuple(lines)
        names = [line.name for line in lines]
        self.lay(len(lines), names.index(here) if here in names and here else self.cursor)

    @property
    def name_here(self) -> str:
        """The field under the cursor."""
        return self.lines[self.cursor].name if self.cursor < len(self.lines) else ""

    def skips(self, index: int) -> bool:
        """Headings and words are passed over."""
        return not self.lines[index].name

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """Label and text; a half-typed text stands in place of the kept one, with a sign."""
        line = self.lines[index]
        if not line.name:
            return [(fit(f" {line.label}", width), line.role)]
        sign = glyphs(plain=getattr(self.app, "plain_signs", False)).cursor if index == self.cursor else " "
        label = (fit(f"{sign} {line.label}", self.label_width), "dim")
        if line.draft is not None:
            return [
                label,
                (
                    fit(
                        f"~ {line.draft}   (typed, not taken yet; kept: {line.text or 'nothing'})",
                        width - self.label_width,
                    ),
                    "next",
                ),
            ]
        beside = f"   {line.beside}" if line.beside else ""
        return [label, (fit(line.text + beside, width - self.label_width), line.role)]
