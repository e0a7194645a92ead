"""Sentences one below the other, as a list that is only read."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from tui.frame.drawn.line_list import LineList, Part
from tui.safe_text import clean, fit

#: Rows of sentences that are seen at once, and letters of one in a terminal of 80 columns.
ROWS, LETTERS = 15, 70


class Sentences(LineList):
    """Sentences one below the other, a long one going on below; keys turn the page, no line is chosen."""

    def __init__(self, lines: Sequence[str]) -> None:
        super().__init__()
        self.told = tuple(lines)
        self._rows: list[tuple[bool, str]] = []  # whether a sentence begins there, and the piece of it

    def on_mount(self) -> None:
        """Shows them all."""
        self._wrap()

    def on_resize(self) -> None:
        """Another width breaks the sentences anew."""
        self._wrap()

    def _wrap(self) -> None:
        width = max(20, self.size.width - 1)
        pieces = [wrap(clean(told), width, subsequent_indent="  ") or [""] for told in self.told]
        self._rows = [(number == 0, piece) for one in pieces for number, piece in enumerate(one)]
        self.styles.height = min(max(1, len(self._rows)), ROWS)
        self.lay(len(self._rows), 0)

    def action_move(self, lines: int) -> None:
        """Turns by that many lines, by a page for ±1000: the first press moves what is seen."""
        seen = self.scrollable_content_region.height
        step = lines if abs(lines) < 1000 else max(1, seen - 1) * (1 if lines > 0 else -1)
        top = max(0, min(self.count - seen, self.scroll_offset.y + step))
        self.scroll_to(y=top, animate=False, immediate=True)
        self.cursor = next((row for row in range(top, top + seen) if not self.skips(row)), top)

    def skips(self, index: int) -> bool:
        """The line on which a sentence goes on is passed over."""
        return not self._rows[index][0]

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One line."""
        return [(fit(self._rows[index][1], width), "word")]
