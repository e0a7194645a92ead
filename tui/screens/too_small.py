"""What is shown where the terminal is too small to show anything else."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.safe_text import plain

WIDTH, HEIGHT = 60, 16


def too_small(width: int, height: int) -> bool:
    """True where not even the chart's own columns have room."""
    return width < WIDTH or height < HEIGHT


class TooSmall(ModalScreen[None]):
    """Says so, and goes away by itself when there is room again."""

    def compose(self) -> ComposeResult:
        """One sentence."""
        yield Static(plain(self._words()), markup=False)

    def _words(self) -> str:
        size = self.app.size
        return (
            f"This terminal is {size.width}x{size.height}.\nReelturn needs {WIDTH}x{HEIGHT},"
            "\nand is at ease from 80x24 on.\nMake it larger; nothing is lost.\nCtrl+Q leaves."
        )

    def on_resize(self) -> None:
        """Goes away when there is room."""
        if not too_small(self.app.size.width, self.app.size.height):
            self.dismiss()
        else:
            self.query_one(Static).update(plain(self._words()))
