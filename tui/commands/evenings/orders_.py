"""Prints work orders."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.commands.command import opened, print_lines
from tui.commands.said_after import say_stale


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("--out", default=".", metavar="DIR", help="the folder (the current one)")
    parser.add_argument(
        "--with",
        dest="fill_in",
        metavar="SHEETS",
        help="sheets to fill in behind each order: looks, line-ups, transfers, conditioning; none; kept",
    )
    parser.add_argument("--size", default="", choices=("A4", "Letter"), help="the paper; else the shelf's")


def run(given: argparse.Namespace) -> int:
    """Writes the PDFs of the kept plan and names them."""

    chosen = None if given.fill_in is None else _sheets(given.fill_in)
    workbook = opened(given)
    if chosen is not None:
        workbook.papers.choose_fill_in(chosen)
    paths = workbook.papers.orders(Path(given.out), given.size)
    say_stale(workbook)
    print_lines(str(path) for path in paths)
    return 0


def _sheets(text: str) -> tuple[str, ...]:
    """The names in ``line-ups,transfers``; Unusable where one is no sheet."""
    from core.chosen import FILL_IN
    from core.errors import Unusable

    names = tuple(name.strip() for name in text.split(",") if name.strip())
    if names == ("none",):
        return ()
    unknown = [name for name in names if name not in FILL_IN]
    if unknown or not names:
        told = f"{unknown[0]!r} is no sheet" if unknown else "name a sheet"
        raise Unusable(f"--with: {told}: give {', '.join(FILL_IN)}, or none")
    return names
