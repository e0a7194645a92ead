"""A chamber load has started."""

from __future__ import annotations

import argparse

from core.clock import years_ago
from core.errors import Unusable
from tui.commands.command import add_at, ahead, far_off, moment, opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("chamber", metavar="CHAMBER")
    parser.add_argument("reels", nargs="+", metavar="REEL")
    add_at(parser)
    parser.add_argument(
        "--because", metavar="TEXT", default="", help="why, where the program asks for a reason"
    )


def run(given: argparse.Namespace) -> int:
    """Puts the reels into the chamber."""
    workbook = opened(given)
    at = moment(given.at, workbook.shelf) or workbook.now()
    if wrong := years_ago(at, workbook.now()):
        raise Unusable(f"--at: {given.at!r} is not {wrong}")
    before = workbook.shelf
    workbook.load(given.chamber, given.reels, at, because=given.because)
    from core.evening.around.told_of_load import told_of_load
    from tui.said import say

    for says in told_of_load(before, workbook.shelf, given.chamber, given.reels):
        say(says)
    still, far = ahead(at, workbook.now()), far_off(at, workbook.now())
    if far:
        say(f"this load {'begins' if still else 'began'} {far}; `reelturn undo` takes it back")
    elif still:
        say(f"this load begins {still}: its turns and bell count from then; what is warm now began now")
    print_lines([f"chamber {given.chamber} holds {', '.join(given.reels)} since {at:%Y-%m-%d %H:%M}"])
    return 0
