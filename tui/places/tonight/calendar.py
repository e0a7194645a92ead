"""The evening's first question: the chamber's touches as a calendar for the pocket."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.home import Home


CALENDAR_FOOT = "{ask.yes} writes it and goes on   {ask.out} goes on without"


def write_calendar(home: Home, path: Path) -> None:
    """Writes the kept plan as iCalendar to that file."""

    def work() -> None:
        text = home.book.papers.calendar()
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text)

    home.do(work, f"calendar written: {path}")
