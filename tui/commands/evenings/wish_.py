"""The owner's wishes for the plan: kept on the shelf, listed, let go of."""

from __future__ import annotations

import argparse

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.said import say


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    from core.planning.wishes.wish_words import HOW

    parser.add_argument("words", nargs="*", metavar="WORDS", help=f"one of: {HOW.replace('%', '%%')}")
    parser.add_argument("--drop", metavar="N", help="let go of the wish of that number in the list")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Keeps a wish, lets go of one, or lists all with whether the kept plan keeps them."""
    if given.words and given.drop is not None:
        raise Unusable("wish: either words or --drop, not both")
    workbook = opened(given)
    said = ""
    if given.words:
        wish = workbook.plans.wish(" ".join(given.words))
        said = f"wished: {wish.words}; `reelturn plan` plans for it"
        against = workbook.plans.stands_against(wish)
        if against:
            say(f"in its way as it is: {against}")
    elif given.drop is not None:
        if not given.drop.isascii() or not given.drop.isdigit():
            raise Unusable(f"--drop: {given.drop!r} is not a number from the list of `reelturn wish`")
        said = f"let go of: {workbook.plans.drop_wish(int(given.drop)).words}"
    if given.json:
        print_json([told.to_json() for told in workbook.plans.wishes_told()])
    elif said:
        print_lines([said])
    else:
        told = workbook.plans.wishes_told()
        stale = workbook.plans.plan_is_stale() if told else None
        if stale:
            say(stale)
        print_lines(f"{n}  {one.says}" for n, one in enumerate(told, 1))
        if not told:
            print_lines(["nothing is wished"])
    return 0
