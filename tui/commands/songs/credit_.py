"""A player of the album: asked, answered, and the name for the sleeve."""

from __future__ import annotations

import argparse

from core.errors import Unusable
from tui.commands.command import opened, print_lines
from tui.commands.dates import read_date


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("player", metavar="PLAYER", help="as the track sheets call them")
    parser.add_argument("--asked", metavar="DATE", help="when they were asked, as 2026-12-24")
    parser.add_argument("--agreed", metavar="DATE", help="when they said yes")
    parser.add_argument("--declined", metavar="DATE", help="when they said no")
    parser.add_argument("--named", metavar="NAME", help="how they are named on the sleeve")


def run(given: argparse.Namespace) -> int:
    """Keeps what is given and says what is known."""
    from core.release.people.credits import not_on_sheets
    from tui.said import say

    if given.agreed and given.declined:
        raise Unusable("credit: --agreed or --declined, not both")
    yes, no = read_date("credit: --agreed", given.agreed), read_date("credit: --declined", given.declined)
    workbook = opened(given)
    known = workbook.release.ask(
        given.player,
        asked=read_date("credit: --asked", given.asked),
        answered=yes or no,
        agreed=None if not (yes or no) else bool(yes),
        named=given.named,
    )
    if odd := not_on_sheets(workbook.shelf, known.player):
        say(odd)
    said = f"asked {known.asked}" if known.asked else "not asked yet"
    if known.answered:
        said += f", {'said yes' if known.agreed else 'said no'} {known.answered}"
    print_lines([f"{known.player}: {said}" + (f"; on the sleeve: {known.named}" if known.named else "")])
    return 0
