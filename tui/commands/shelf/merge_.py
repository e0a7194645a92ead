"""Makes one reel of two keys that are one tape."""

from __future__ import annotations

import argparse

from tui.commands.command import opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("keep", metavar="KEEP", help="the key that stays")
    parser.add_argument("other", metavar="OTHER", help="the key that is the same tape")


def run(given: argparse.Namespace) -> int:
    """One change."""
    from tui.text.merged import came_told

    workbook = opened(given)
    before, hung = workbook.shelf, workbook.shelving.hanging_on(given.other, "reel")
    after = workbook.shelving.merge(given.keep, given.other)
    came = came_told(before, after, given.keep, given.other, hung, workbook.now())
    print_lines([f"{given.other} is {given.keep} now; with it came: {came}"])
    return 0
