"""Writes the shelf's files."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.commands.command import opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("folder", metavar="DIR", help="the folder to write into")


def run(given: argparse.Namespace) -> int:
    """Writes the files and names them."""
    print_lines(str(path) for path in opened(given).export(Path(given.folder)))
    return 0
