"""Turns captures of a tape that was played backwards round."""

from __future__ import annotations

import argparse
from pathlib import Path

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL")
    parser.add_argument("files", nargs="+", metavar="FILE", help="as they were captured, in their order")
    parser.add_argument("--pass", dest="number", type=int, default=1, metavar="N", help="else the first")
    parser.add_argument(
        "--turned-over",
        action="store_true",
        help="the reel was turned over, not the transport reversed: the tracks change their order too",
    )
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Writes the turned files beside the originals and names them, in the order for a check."""
    from core.as_json import as_json
    from tui.said import say

    workbook = opened(given)
    files = [Path(file) for file in given.files]
    gone = next((file for file in files if not file.is_file()), None)
    if gone is not None:
        raise Unusable(f"{gone}: there is no such file")
    if given.number < 1:
        raise Unusable(f"--pass: {given.number} is not a whole number from 1")
    made = workbook.captures.turn_round(
        given.reel, files, pass_number=given.number, turned_over=given.turned_over
    )
    if given.json:
        print_json(as_json(made, quiet=True))
        return 0
    print_lines(one.path for one in made.files)
    number = f" --pass {given.number}" if given.number > 1 else ""
    say(f"the originals are untouched; next: reelturn check {given.reel}{number} with these files")
    return 0
