"""Writes the shelf's files, or empty ones to fill in."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.commands.command import opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("folder", metavar="DIR", help="the folder to write into")
    parser.add_argument(
        "--template", action="store_true", help="write files to fill in, one a kind, in place of the shelf's"
    )


def run(given: argparse.Namespace) -> int:
    """Writes the files and names them."""
    folder = Path(given.folder)
    if given.template:
        from core.store.exchange.commented import write_templates
        from tui.commands.asking_first import local_zone

        print_lines(str(path) for path in write_templates(folder, local_zone()))
        return 0
    print_lines(str(path) for path in opened(given).export(folder))
    return 0
