"""Compares a second copy of a reel's checked files."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.reading_files import looked_json, looked_lines, told_on_terminal


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL")
    parser.add_argument("folder", metavar="DIR", help="where the second copy lies, under the same names")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """0 where every file is there and equal by SHA-256, 1 where one is not; keeps what was found."""
    from tui.said import say

    workbook = opened(given)
    copies = workbook.captures.compare_copy(given.reel, Path(given.folder), progress=told_on_terminal())
    workbook.captures.keep_copies(copies)
    if any(one.same_disk for one in copies):
        say(f"{given.folder} is on the disk of the originals: both would be lost with it")
    if given.json:
        print_json({"reel": given.reel, "passes": looked_json(copies)})
    else:
        print_lines(looked_lines(copies))
    return 0 if all(one.state == "unchanged" for one in copies) else 1
