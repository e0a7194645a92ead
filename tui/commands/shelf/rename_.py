"""Puts a reel, song or sheet under another key."""

from __future__ import annotations

import argparse

from core.errors import Unusable
from tui.commands.command import opened, print_lines
from tui.commands.examples import EXAMPLES
from tui.commands.naming import kind_and_rest


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "words", nargs="+", metavar="[reel|song|sheet] OLD NEW", help="the key, and the new one"
    )


def run(given: argparse.Namespace) -> int:
    """One change, everywhere it is named."""
    kind, rest = kind_and_rest(given.words, 2)
    if len(rest) != 2:
        raise Unusable(f"rename: give the key and the new one: {EXAMPLES['rename']}")
    found = opened(given).shelving.rename(rest[0], rest[1], kind)
    print_lines([f"{found} {rest[0]} is {rest[1]} now, everywhere it is named"])
    return 0
