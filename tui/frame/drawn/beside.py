"""A list with the right third of a wide terminal beside it: what hangs on the line under the cursor."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from rich.segment import Segment
from textual.strip import Strip

from tui.frame.drawn.line_list import LineList
from tui.frame.side import FROM_COLUMNS, ROOM, WIDE, Line
from tui.safe_text import fit


class Beside(LineList):
    """Lines that do not scroll stand at its right. A widget of its own would open later."""

    def __init__(self) -> None:
        super().__init__()
        self.beside: tuple[Line, ...] = ()

    def show_beside(self, lines: Callable[[], Iterable[Line]], width: int) -> None:
        """Shows these lines, where the terminal is wide enough; they are asked for only then."""
        told = tuple(lines()) if width >= FROM_COLUMNS else ()
        if told != self.beside:
            self.beside = told
            self.refresh()

    @property
    def _room(self) -> int:
        room = super()._room
        return room - WIDE if self.beside else room

    def render_line(self, y: int) -> Strip:
        """A line of the list, and what stands beside that row of the screen."""
        listed = super().render_line(y)
        if not self.beside:
            return listed
        more = len(self.beside) > self.size.height
        last = more and y == self.size.height - 1
        role, text = self.beside[y] if y < len(self.beside) else ("word", "")
        if last:
            role, text = "dim", f"and {len(self.beside) - y} more lines"
        rule = "| " if getattr(self.app, "plain_signs", False) else "│ "
        style = self.get_component_rich_style(f"line--{role}")
        return Strip.join([listed, Strip([Segment(f"{rule}{fit(text, ROOM)} ", style)])])
