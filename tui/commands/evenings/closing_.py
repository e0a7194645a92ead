"""What to look at before one leaves."""

from __future__ import annotations

import argparse

from core.errors import Refused
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.said_after import say_stale


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "--back",
        nargs="*",
        metavar="REEL",
        help="these reels are in their places again; without any: all that were in hand",
    )
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Put back, leave, home, files, moved, next: by what was really done tonight."""
    from tui.board.closing import closing_of

    workbook = opened(given)
    now = workbook.now().astimezone(workbook.shelf.studio.zone)
    look = closing_of(workbook.shelf, workbook.plans.kept_plan(), now)
    if given.back is not None:
        from core.evening.around.put_back import put_back

        inside = workbook.shelf.reels
        keys = given.back or [one.reel for one in look.back if not inside[one.reel].chamber]
        if not keys:
            raise Refused("nothing was taken from its place tonight")
        workbook.change(lambda shelf: put_back(shelf, keys, now), what=f"{', '.join(keys)}: put back", at=now)
        look = closing_of(workbook.shelf, workbook.plans.kept_plan(), now)
    say_stale(workbook)
    if given.json:
        print_json({name.casefold(): list(lines) for name, lines in look.sections()})
    else:
        print_lines(f"{name}: {line}" for name, lines in look.sections() for line in lines)
    return 0
