"""What is shown where the terminal is too small to show anything else."""

from __future__ import annotations

import os

from textual.app import ComposeResult
from textual.geometry import Size
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.safe_text import plain

#: The least terminal in which the chart's own columns have room.
LEAST = Size(60, 16)


class TooSmall(ModalScreen[None]):
    """Says so, and goes away by itself when there is room again."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "too_small.tcss")

    def compose(self) -> ComposeResult:
        """One sentence."""
        yield Static(plain(self._words()), markup=False)

    def _words(self) -> str:
        size = self.app.size
        return (
            f"This terminal is {size.width}x{size.height}.\nReelturn needs {LEAST.width}x{LEAST.height},"
            "\nand is at ease from 80x24 on.\nMake it larger; nothing is lost.\nCtrl+Q leaves."
        )

    def on_resize(self) -> None:
        """Goes away when there is room."""
        if not self.is_current:
            return
        if self.app.size.width >= LEAST.width and self.app.size.height >= LEAST.height:
            self.dismiss()
        else:
            self.query_one(Static).update(plain(self._words()))
