"""Lists backups, or puts one in the shelf's place."""

from __future__ import annotations

import argparse
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Refused, Unusable
from tui.commands.around import now, shelf_path
from tui.commands.command import opened, print_lines

if TYPE_CHECKING:
    from core.shelf import Shelf


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "backup", nargs="?", metavar="BACKUP", help="a backup's name or number in the list, or a file"
    )


def run(given: argparse.Namespace) -> int:
    """Works on a damaged shelf too; alarms are of the shelf that is there then."""
    from core.evening.warming.forgotten import forgotten
    from core.store.disk.restore import restore
    from tui.said import say

    path = shelf_path(given.shelf)
    if given.backup is None:
        _say_alarms(given)
        _list(path)
        return 0
    was = _shelf_of(path)
    try:
        aside = restore(path, given.backup, now())
    finally:
        _say_alarms(given)
    print_lines([f"{given.backup} is in the place of {path}"])
    if aside is not None:
        print_lines([f"what was there is kept as {aside}"])
    there = _shelf_of(path)
    if was is not None and there is not None:
        for one in forgotten(was, there):
            say(one.told)
        _keep_what_forbids_heat(path, was)
    return 0


def _keep_what_forbids_heat(path: Path, was: Shelf) -> None:
    """A base, a sign, what is set aside, learnt since that backup: kept, and said; one undo."""
    from core.shelving.kept_of_before import kept_of_before
    from core.store.book import Book
    from tui.said import say

    book = Book.open(path, now)
    told = kept_of_before(was, book.shelf)[1]
    if not told:
        return
    book.change(lambda shelf: kept_of_before(was, shelf)[0], what="what forbids heat, of the shelf before")
    for key, words in told.items():
        say(f"! {key}: this backup did not know its {words}: that stays (`reelturn undo` takes it back)")


def _shelf_of(path: Path) -> Shelf | None:
    """The shelf in that file; None where there is none that can be read."""
    from core.store.book import Book

    with suppress(Unusable, Refused):
        return Book.open(path, now).shelf
    return None


def _list(path: Path) -> None:
    from core.store.disk.restore import listed

    there = listed(path)
    if not there:
        print(f"{path} has no backups")
    for number, (backup, good) in enumerate(there, 1):
        when = backup.written.astimezone().strftime("%Y-%m-%d %H:%M:%S")
        print_lines([f"{number:>3}  {when}  {backup.name}{'' if good else '   cannot be read'}"])


def _say_alarms(given: argparse.Namespace) -> None:
    """Those of the shelf; one that is damaged tells none, and none keeps its backups from being told."""
    with suppress(Unusable):
        opened(given)
