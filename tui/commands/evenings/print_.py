"""Prints sheets of the shelf as PDF: whatever the list of papers has."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from core.errors import Unusable
from core.workbook.papers import PRINTABLE, SCOPES
from tui.commands.command import opened, print_lines

_WHICH = {"reel": "key", "parts": "song", "album": "album"}
"""What can be printed of one thing, and what its name is called."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    told = "; ".join(f"{name}: {says}" for name, says in PRINTABLE.items())
    parser.add_argument("what", metavar="WHAT", help=told)
    parser.add_argument(
        "which", nargs="?", default="", metavar="REEL|SONG|NAME", help="for `reel`, `parts`, `album`: which"
    )
    parser.add_argument("--out", default=".", metavar="DIR", help="where the files go; the current folder")
    parser.add_argument("--size", default="", metavar="SIZE", help="A4 or Letter; else the shelf's")
    parser.add_argument(
        "--sheets", metavar="SHEETS", help="for `everything`: which, such as orders,cards,labels; kept"
    )
    parser.add_argument(
        "--printer", nargs="?", const="", metavar="NAME", help="send them to the printer too, by lp"
    )


def run(given: argparse.Namespace) -> int:
    """Prints them and names the files; with a printer, hands them over to it."""
    from core.paper.printer import send
    from tui.said import say

    if given.what not in PRINTABLE:
        raise Unusable(f"nothing to print is called {given.what!r}: there are {', '.join(PRINTABLE)}")
    if given.which and given.what not in _WHICH:
        raise Unusable(
            f"{given.what} takes no more words; these do: print reel REEL, print parts SONG, print album NAME"
        )
    workbook = opened(given)
    if given.sheets is not None:
        workbook.papers.choose_in_one_go(_sheets(given.sheets))
    work: Callable[..., list[Path]] = getattr(workbook.papers, given.what)
    named = {_WHICH[given.what]: given.which} if given.what in _WHICH else {}
    paths = work(Path(given.out).expanduser(), given.size, **named)
    print_lines(str(path) for path in paths)
    if given.printer is not None:
        say(send(paths, given.size or workbook.shelf.chosen.paper_size, given.printer))
    return 0


def _sheets(text: str) -> tuple[str, ...]:
    """The names in ``orders,cards``; Unusable where one is no sheet."""
    sheets = [name for name in PRINTABLE if name not in SCOPES]
    names = tuple(name.strip() for name in text.split(",") if name.strip())
    wrong = next((name for name in names if name not in sheets), None)
    if wrong is not None or not names:
        told = f"{wrong!r} is no sheet" if wrong is not None else "name a sheet"
        raise Unusable(f"--sheets: {told}: there are {', '.join(sheets)}")
    return tuple(name for name in sheets if name in names)
