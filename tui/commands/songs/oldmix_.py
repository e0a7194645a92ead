"""What an old mix holds that no captured track explains."""

from __future__ import annotations

import argparse

from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.interrupting import Interrupting
from tui.commands.reading_files import told_on_terminal


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("song", metavar="SONG", help="its key or title")
    parser.add_argument("reel", nargs="?", metavar="REEL", help="the tape of the mix, of several")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Holds the mix against every captured track in its place and keeps the remarks; never a verdict."""
    from core.capture.files.progress import Cancelled
    from core.workbook.in_time.old_mix_kept import old_mix_says
    from tui.said import say

    workbook = opened(given)
    with Interrupting() as interrupting:
        try:
            mix = workbook.old_mixes.look(
                given.song, given.reel, progress=told_on_terminal("held against it"),
                cancelled=interrupting.asked,
            )  # fmt: skip
        except Cancelled:
            say("stopped: nothing was kept")
            return 130
    if given.json:
        print_json(mix.to_json())
    else:
        print_lines(list(old_mix_says(mix)))
    return 0
