"""Makes two reels of a box that held two tapes."""

from __future__ import annotations

import argparse

from tui.commands.command import opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL", help="the reel whose box held two")
    parser.add_argument("new", metavar="NEW", help="the key of the second tape")
    parser.add_argument("--contents", default="", help="what is on the second tape")
    parser.add_argument(
        "--sheet", action="append", default=[], help="a track sheet that belongs to the second"
    )
    parser.add_argument("--song", action="append", default=[], help="a song that needs the second")


def run(given: argparse.Namespace) -> int:
    """One change."""
    from core.conditioning.spreading.handled import handled

    shelving = opened(given).shelving
    shelf = shelving.split(
        given.reel, given.new, contents=given.contents, sheets=given.sheet, songs=given.song
    )
    stays = shelving.hanging_on(given.reel, "reel")
    told = f"{given.new} lay in the box of {given.reel}: found, and not looked at yet"
    care = [f"! {one}" for one in (handled(shelf, given.new),) if one]
    print_lines([f"{told}; with {given.reel} stays: {stays}", *care])
    return 0
