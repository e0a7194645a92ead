"""Starts an empty shelf."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.commands.command import now, shelf_path


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("--studio", required=True, metavar="studio.toml", help="the studio's file")


def run(given: argparse.Namespace) -> int:
    """Reads the studio's file and writes the shelf."""
    from core.store.studio_toml import read_studio_file
    from core.workbook.workbook import Workbook

    path = shelf_path(given.shelf)
    studio = read_studio_file(Path(given.studio))
    Workbook.create(path, studio, now)
    print(f"started an empty shelf for {studio.name}: {path}")
    return 0
