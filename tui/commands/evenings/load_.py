"""A chamber load has started."""

from __future__ import annotations

import argparse

from tui.commands.command import add_at, ahead, moment, opened, print_lines


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
    before = workbook.shelf
    workbook.load(given.chamber, given.reels, at, because=given.because)
    from core.conditioning.base_look import look_lines, looks_asked
    from core.conditioning.beyond_published import about_load
    from core.conditioning.loads.trial import trial_words
    from core.evening.warming.let_in import let_in
    from tui.said import say

    missing = trial_words(workbook.shelf, given.chamber)
    if missing:
        say(missing)
    for says in about_load(before, given.chamber, given.reels):
        say(says)
    still = ahead(at, workbook.now())
    if still:
        say(f"this load begins {still}: its turns and bell count from then; what is warm now began now")
    for says in let_in(workbook.shelf, given.reels):
        say(says)
    unseen = looks_asked(before, given.reels)
    if unseen:
        say(f"nobody has seen the base of {', '.join(unseen)}: {' '.join(look_lines())}")
    print_lines([f"chamber {given.chamber} holds {', '.join(given.reels)} since {at:%Y-%m-%d %H:%M}"])
    return 0
