"""Prints sheets of the shelf as PDF: whatever the list of papers has."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from core.errors import Unusable
from core.workbook.papers import PRINTABLE
from tui.commands.command import opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    told = "; ".join(f"{name}: {says}" for name, says in PRINTABLE.items())
    parser.add_argument("what", metavar="WHAT", help=told)
    parser.add_argument("--out", default=".", metavar="DIR", help="where the files go; the current folder")
    parser.add_argument("--size", default="", metavar="SIZE", help="A4 or Letter; else the shelf's")


def run(given: argparse.Namespace) -> int:
    """Prints them and names the files."""
    if given.what not in PRINTABLE:
        raise Unusable(f"nothing to print is called {given.what!r}: there are {', '.join(PRINTABLE)}")
    work: Callable[..., list[Path]] = getattr(opened(given).papers, given.what)
    print_lines(str(path) for path in work(Path(given.out).expanduser(), given.size))
    return 0
