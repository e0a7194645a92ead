"""The hours of the next days, and those of one day set."""

from __future__ import annotations

import argparse

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
    from core.store.studio.hours_words import hours_lost, hours_told

    workbook = opened(given)
    if given.words:
        before = workbook.shelf.studio
        day = workbook.studio_changes.set_hours(given.words)
        lost = "" if isinstance(day, str) else hours_lost(before, workbook.shelf.studio, day)
        first = workbook.now().date() if isinstance(day, str) else day
        lines = hours_told(workbook.shelf.studio, first, 7 if isinstance(day, str) else 1)
        stale = workbook.plans.plan_is_stale()
        print_lines([*lines, *([stale] if stale else [])])
        if lost:
            say(f"{lost}: give those hours as well, or `hours {day} usual` brings them back")
        return 0
    print_lines(hours_told(workbook.shelf.studio, workbook.now().date()))
    return 0
