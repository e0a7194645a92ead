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
    shelving = opened(given).shelving
    came = shelving.hanging_on(given.other, "reel")
    shelving.merge(given.keep, given.other)
    told = "what they told differently is in the notes"
    print_lines([f"{given.other} is {given.keep} now; with it came: {came}; {told}"])
    return 0
