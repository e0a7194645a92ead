"""Lays checked files out as a BagIt folder for handing over."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.commands.command import opened, print_lines
from tui.commands.reading_files import told_on_terminal


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("folder", metavar="DIR", help="the new folder")
    parser.add_argument("reels", nargs="+", metavar="REEL")


def run(given: argparse.Namespace) -> int:
    """Copies the files, each read again, with checks, reports and manifests; names the folder."""
    workbook = opened(given)
    reels = list(dict.fromkeys(given.reels))
    folder = workbook.handing_out.hand_over(reels, Path(given.folder), progress=told_on_terminal("copied"))
    print_lines([str(folder)])
    return 0
