"""The album: order, lengths, whether it fits, credits, and what is missing."""

from __future__ import annotations

import argparse

from tui.commands.command import add_json, opened, print_json, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("album", metavar="NAME")
    parser.add_argument("--without", nargs="+", default=[], metavar="SONG", help="as if these were not on it")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """The page of that album."""
    found = opened(given).release.album(given.album, given.without)
    if given.json:
        print_json(found.to_json())
    else:
        from tui.text.songs.album import album_lines

        print_lines(album_lines(found))
    return 0
