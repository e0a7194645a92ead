"""Draws the README's three screens anew from the demo: ``python docs/pages/screens.py``.

The made-up shelf is laid out in a temporary folder and planned as ``reelturn demo`` does it, with a clock
that stands a second after the demo's begins, for the demo's own has moved on when it plans. Each screen
replaces the block of the README that begins with the same name.
"""

from __future__ import annotations

import asyncio
import re
import tempfile
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from unittest.mock import Mock
from zoneinfo import ZoneInfo

from core.workbook.workbook import Workbook
from tui.app import ReelturnApp
from tui.commands.demo.again import BEGINS, ZONE
from tui.commands.demo_ import DAYS, EFFORT, lay_captures, lay_out

README = Path(__file__).parents[2] / "README.md"
#: The first word of each screen, and the keys that lead there from the one before.
SCREENS = {"Marram Wharf": (), "Week": ("w",), "Tonight": ("t", "space", "enter")}


def screen(app: Any) -> str:
    """What stands on the screen, without blanks at the ends of lines."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(part.text for part in strip).rstrip() for strip in strips)


async def screens(book: Workbook) -> dict[str, str]:
    """Every screen at 80 by 24, by its first word."""
    shown = {}
    app = ReelturnApp(book)
    app.made_up = Mock()  # its clock is told as made up
    async with app.run_test(size=(80, 24)) as pilot:
        for name, keys in SCREENS.items():
            for key in keys:
                await pilot.press(key)
                await pilot.pause()
            async with asyncio.timeout(
                20
            ):  # a question that stands before it would be waited for without end
                while f" {name} " not in screen(pilot.app).partition("\n")[0]:
                    await pilot.pause(0.05)
            await pilot.pause(0.5)
            shown[name] = screen(pilot.app)
    return shown


def main() -> None:
    """Lays out, plans, draws, and puts the screens into the README."""
    begins = datetime.fromisoformat(BEGINS).replace(tzinfo=ZoneInfo(ZONE)) + timedelta(seconds=1)
    with tempfile.TemporaryDirectory() as folder:
        book = lay_out(Path(folder), lambda: begins)
        lay_captures(Path(folder))
        book.plans.keep_plan(book.plans.plan(days=DAYS, effort=EFFORT, keep=False))
        shown = asyncio.run(screens(book))
    text = README.read_text(encoding="utf-8")
    for name, lines in shown.items():
        block = re.compile(rf"(?<=```\n) {name} .*?(?=\n```)", re.DOTALL)
        text = block.sub(lambda _, lines=lines: lines, text, count=1)  # type: ignore[misc]
    README.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
