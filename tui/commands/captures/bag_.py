"""Lays checked files, a song or an album out as a BagIt folder for handing over."""

from __future__ import annotations

import argparse
from pathlib import Path

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.interrupting import Interrupting
from tui.commands.reading_files import told_on_terminal


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("folder", metavar="DIR", help="the new folder")
    parser.add_argument("reels", nargs="*", metavar="REEL", help="their checked files")
    which = parser.add_mutually_exclusive_group()
    which.add_argument(
        "--song", metavar="SONG", help="one song, for the one who mixes: copies in their places"
    )
    which.add_argument("--album", metavar="NAME", help="all songs of an album, with its sheet and credits")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Lays the folder out and names it; 1 where something that belongs in could not go along."""
    from core.capture.files.progress import Cancelled
    from tui.said import say

    wanted = given.song is not None or given.album is not None
    if bool(given.reels) == wanted:
        raise Unusable("bag: name reels, or one of --song SONG and --album NAME")
    if wanted and not (given.song or given.album):
        raise Unusable("bag: --song and --album need a name")
    workbook, folder = opened(given), Path(given.folder)
    with Interrupting() as interrupting:
        told = told_on_terminal("copied")
        try:
            if not wanted:
                reels = list(dict.fromkeys(given.reels))
                workbook.handing_out.hand_over(reels, folder, progress=told, cancelled=interrupting.asked)
                left_out: tuple[str, ...] = ()
                document: dict[str, object] = {"folder": str(folder), "reels": reels}
            else:
                made = workbook.parcel.hand_over(
                    folder, song=given.song or "", album=given.album or "",
                    progress=told, cancelled=interrupting.asked,
                )  # fmt: skip
                left_out, document = made.left_out, made.to_json()
        except Cancelled:
            say("stopped: no folder was made")
            return 130
    for line in left_out:
        say(f"left out: {line}")
    if given.json:
        print_json(document)
    else:
        print_lines([str(folder)])
    return 1 if left_out else 0
