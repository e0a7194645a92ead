"""A chamber load has started."""

from __future__ import annotations

import argparse
from datetime import datetime
from typing import TYPE_CHECKING

from core.clock import years_ago
from core.errors import Refused, Unusable
from tui.commands.command import add_at, ahead, far_off, moment, opened, print_lines

if TYPE_CHECKING:
    from core.shelf import Shelf


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
    try:
        workbook.load(given.chamber, given.reels, at, because=given.because)
    except Refused as refused:
        told = _told_otherwise(before, given, at) if at < workbook.now() else ""
        raise Refused(f"{refused}{told}") from None
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


def _told_otherwise(shelf: Shelf, given: argparse.Namespace, at: datetime) -> str:
    """How a load of earlier is told that held tapes which no heat may reach; empty where it held none."""
    from core.conditioning.advisor import heat_of
    from core.words import listed

    known = [shelf.reels[key] for key in given.reels if key in shelf.reels]
    never = [one.key for one in known if heat_of(shelf, one, at).never]
    if not never or given.at is None:
        return ""
    told = ", ".join(f"`tonight lay {key} {given.chamber} --at {given.at}`" for key in never)
    return f". If {listed(never)} lay in there all the same: {told}; the others by their own load"
