"""Takes reels, songs or sheets off the shelf."""

from __future__ import annotations

import argparse
import sys

from tui.commands.around import on_terminal
from tui.commands.command import opened, print_lines
from tui.commands.naming import kind_and_rest
from tui.said import say


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("words", nargs="+", metavar="[reel|song|sheet] KEY", help="what leaves the shelf")


def run(given: argparse.Namespace) -> int:
    """One change; asked first where a person is at the terminal."""
    kind, keys = kind_and_rest(given.words, 1)
    workbook = opened(given)
    if on_terminal() and not _asked(
        {key: workbook.shelving.goes_with(key, kind) for key in dict.fromkeys(keys)}
    ):
        print_lines(["nothing was removed"])
        return 0
    told = workbook.shelving.remove(keys, kind)
    print_lines(f"removed {key}; with it went: {what}" for key, what in told.items())
    return 0


def _asked(hanging: dict[str, str]) -> bool:
    for key, what in hanging.items():
        say(f"with {key} goes: {what}")
    print("Remove? One undo brings it back. [y/N] ", end="", file=sys.stderr, flush=True)
    return sys.stdin.readline().strip().casefold() in ("y", "yes")
