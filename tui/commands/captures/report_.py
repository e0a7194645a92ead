"""Prints capture reports."""

from __future__ import annotations

import argparse
from pathlib import Path

from core.errors import Refused
from tui.commands.command import opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reels", nargs="*", metavar="REEL", help="without one, every checked reel")
    parser.add_argument("--out", default=".", metavar="DIR", help="the folder (the current one)")
    parser.add_argument("--size", default="", choices=("A4", "Letter"), help="the paper; else the shelf's")


def run(given: argparse.Namespace) -> int:
    """Writes a PDF a reel, all its passes, and names them."""
    workbook = opened(given)
    reels = given.reels or workbook.captures.checked_reels()
    if not reels:
        raise Refused("no check is kept on this shelf: check a reel's files first")
    for reel in dict.fromkeys(reels):
        print_lines(str(path) for path in workbook.handing_out.report(reel, Path(given.out), given.size))
    return 0
