"""Prints work orders."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.commands.command import opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("--out", default=".", metavar="DIR", help="the folder (the current one)")
    parser.add_argument("--size", default="", choices=("A4", "Letter"), help="the paper; else the shelf's")


def run(given: argparse.Namespace) -> int:
    """Writes the PDFs of the kept plan and names them."""
    from tui.cli import say

    workbook = opened(given)
    paths = workbook.papers.orders(Path(given.out), given.size)
    stale = workbook.plans.plan_is_stale()
    if stale:
        say(stale)
    print_lines(str(path) for path in paths)
    return 0
