"""The owner's choice of a track for a part of a song."""

from __future__ import annotations

import argparse

from core.errors import Unusable
from tui.commands.command import opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("song", metavar="SONG", help="its key or title")
    parser.add_argument("part", nargs="?", metavar="PART[/TAKE]", help="as the sheets call it")
    parser.add_argument(
        "track", nargs="?", metavar="REEL:TRACK", help="the track to use; - lets the choice go"
    )
    parser.add_argument(
        "--same", nargs=2, metavar=("NAME", "NAME"), help="two names are one part; one name twice lets it go"
    )


def run(given: argparse.Namespace) -> int:
    """Keeps the choice and says what is used now."""
    workbook = opened(given)
    if given.same:
        print_lines([workbook.songs.same_part(given.song, *given.same)])
    elif given.part is None or given.track is None:
        raise Unusable("use: a part and a track are wanted: reelturn use SONG PART[/TAKE] REEL:TRACK")
    if given.part is not None and given.track is not None:
        print_lines([workbook.songs.use(given.song, given.part, given.track)])
    return 0
