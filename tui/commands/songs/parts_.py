"""What to use for every recording of a song."""

from __future__ import annotations

import argparse

from tui.commands.command import add_json, opened, print_json, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("song", metavar="SONG", help="its key or title")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Every recording with its tracks, how it stands, where it lies, and why; then what is open."""
    from tui.text.songs.parts import parts_lines

    found = opened(given).songs.parts(given.song)
    if given.json:
        print_json(found.to_json())
    else:
        print_lines(parts_lines(found))
    return 0
