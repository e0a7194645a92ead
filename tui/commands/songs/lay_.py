"""Copies of a song's used tracks in their places, written into a folder."""

from __future__ import annotations

import argparse
from pathlib import Path

from core.words import counted
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.interrupting import Interrupting
from tui.commands.reading_files import told_on_terminal

WAYS = ("zero", "stamped", "clock")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("song", metavar="SONG", help="its key or title")
    parser.add_argument("--out", metavar="DIR", required=True, help="the folder to write into")
    parser.add_argument(
        "--way",
        choices=WAYS,
        default="zero",
        help="zero: all files begin at one moment; stamped: as captured, with time references; "
        "clock: read along the curve on the song's clock",
    )
    parser.add_argument("--pairs", action="store_true", help="a pair of one tape as one stereo file")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Writes what is not there yet; 1 where a used part could not be laid."""
    from core.capture.files.progress import Cancelled
    from tui.said import say

    workbook = opened(given)
    with Interrupting() as interrupting:
        try:
            laid = workbook.laying.lay(
                given.song, Path(given.out), given.way, pairs=given.pairs,
                progress=told_on_terminal("laid"), cancelled=interrupting.asked,
            )  # fmt: skip
        except Cancelled:
            say("stopped: what is whole is kept, the same line goes on from there")
            return 130
    for line in (*laid.left_out, *laid.remarks):
        say(line)
    if given.json:
        print_json(laid.to_json())
    else:
        there = f", {laid.kept} of them there from before" if laid.kept else ""
        print_lines([f"{counted(len(laid.files), 'file')} in {laid.folder}{there}", *laid.files])
    return 1 if laid.left_out else 0
