"""One line that is only there while it has something to say, in the roles of the long lists."""

from __future__ import annotations

from textual.app import RenderResult
from textual.reactive import reactive
from textual.widget import Widget

from tui.frame.drawn.line_list import Part
from tui.safe_text import assemble

STYLES = {
    "word": "",
    "dim": "$dim-text",
    "good": "$success",
    "next": "bold $primary",
    "bad": "bold $error",
    "head": "bold",
}

Line = list[Part]


class RoleLine(Widget):
    """Pieces of text with roles; no pieces, no line."""

    pieces: reactive[tuple[tuple[str, str], ...]] = reactive(())

    def show(self, line: Line | None) -> None:
        """Shows that line, or nothing."""
        self.pieces = tuple(line or ())

    def watch_pieces(self, before: tuple[tuple[str, str], ...], pieces: tuple[tuple[str, str], ...]) -> None:
        """The line takes room only while there is something to tell, and as many rows as that has."""
        self.display = bool(pieces)
        if _rows(before) != _rows(pieces):
            self.refresh(layout=True)

    def render(self) -> RenderResult:
        """The pieces, each in its role's style."""
        return assemble(*((text, STYLES[role]) for text, role in self.pieces))


def _rows(pieces: tuple[tuple[str, str], ...]) -> int:
    return sum(text.count("\n") for text, _ in pieces)
