"""Takes back the last change, or does it over again."""

from __future__ import annotations

import argparse

from tui.commands.command import opened, print_lines
from tui.commands.said_after import say_alarms


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("--redo", action="store_true", help="do over again what was taken back last")


def tells_alarms(given: argparse.Namespace) -> bool:
    """True: what stood before may be taken back with the change."""
    return True


def run(given: argparse.Namespace) -> int:
    """One change at a time."""
    from core.evening.warming.forgotten import forgotten
    from tui.said import say

    workbook = opened(given)
    was = workbook.shelf
    what = workbook.redo() if given.redo else workbook.undo()
    say_alarms(workbook.shelf)
    print_lines([what])
    for one in () if given.redo else forgotten(was, workbook.shelf):
        say(f"! {one.taken_back('`redo`')}")
    return 0
