"""Adds to a reel's history."""

from __future__ import annotations

import argparse

from tui.commands.command import add_at, moment, opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL")
    parser.add_argument("text", metavar="TEXT")
    add_at(parser)


def run(given: argparse.Namespace) -> int:
    """Keeps the note."""
    workbook = opened(given)
    workbook.note(given.reel, given.text, moment(given.at, workbook.shelf))
    print_lines([f"noted on {given.reel}"])
    return 0
