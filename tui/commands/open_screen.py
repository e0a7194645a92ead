"""Opens the full-screen program on the shelf."""

from __future__ import annotations

from core.errors import Unusable
from tui.commands.command import now, on_terminal, shelf_path
from tui.memory import hold


def run(shelf: str | None) -> int:
    """Opens the screen; Unusable where there is no terminal."""
    if not on_terminal():
        raise Unusable("no terminal here: open the screen in one, or name a verb (reelturn --help)")
    hold()
    from core.workbook.workbook import Workbook

    workbook = Workbook.open(shelf_path(shelf), now)
    from tui.app import run as open_screen

    return open_screen(workbook)
