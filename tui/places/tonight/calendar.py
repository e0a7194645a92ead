"""The evening's first question: the chamber's touches as a calendar for the pocket."""

from __future__ import annotations

from tui.asking.asking import AskYes


class AskCalendar(AskYes):
    """Enter writes the calendar; either way the evening begins."""

    FOOT = "{ask.yes} writes it and goes on   {ask.out} goes on without"
