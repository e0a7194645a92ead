"""The hours of the next days, and those of one day set."""

from __future__ import annotations

import argparse
from datetime import date

from tui.commands.command import opened, print_lines
from tui.said import say


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "words", nargs="*", metavar="DAY RANGE [bench|home|helper|loud UNTIL]",
        help="a date or weekday and its hours (bench and home where nothing is said), `off`, or `usual`",
    )  # fmt: skip


def run(given: argparse.Namespace) -> int:
    """Without a day the next 14; with one, its hours on the shelf."""
    from core.evening.warming.nobody_home import left_alone
    from core.store.studio.hours_lost import hours_lost
    from core.store.studio.hours_words import day_in_one, hours_told

    workbook = opened(given)
    if given.words:
        shelf, before = workbook.shelf, workbook.shelf.studio
        day = workbook.studio_changes.set_hours(given.words)
        lost = hours_lost(before, workbook.shelf.studio, day)
        first, days = (workbook.now().date(), 7) if isinstance(day, str) else (day, 1)
        last = day_in_one(given.words, workbook.now().date())[0].partition("..")[2]
        if last:
            days = (date.fromisoformat(last) - first).days + 1
        lines = hours_told(workbook.shelf.studio, first, days)
        stale = workbook.plans.plan_is_stale()
        print_lines([*lines, *([stale] if stale else [])])
        for line in left_alone(shelf, workbook.shelf):
            say(line)
        if lost:
            back = "`undo`" if isinstance(day, str) else f"`hours {day} usual`"
            say(f"{lost}: give those hours as well, or {back} brings them back")
        return 0
    print_lines(hours_told(workbook.shelf.studio, workbook.now().date()))
    return 0
