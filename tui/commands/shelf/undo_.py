"""Takes back the last change, or does it over again."""

from __future__ import annotations

import argparse

from tui.commands.command import opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("--redo", action="store_true", help="do over again what was taken back last")


def run(given: argparse.Namespace) -> int:
    """One change at a time."""
    workbook = opened(given)
    print_lines([workbook.redo() if given.redo else workbook.undo()])
    return 0
