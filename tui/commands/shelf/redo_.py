"""Does over again what was taken back last."""

from __future__ import annotations

import argparse

from tui.commands.command import opened, print_lines
from tui.commands.said_after import say_alarms


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb: nothing."""


def tells_alarms(given: argparse.Namespace) -> bool:
    """True: what comes back may be what must be done now."""
    return True


def run(given: argparse.Namespace) -> int:
    """One change at a time."""
    workbook = opened(given)
    what = workbook.redo()
    say_alarms(workbook.shelf)
    print_lines([what])
    return 0
