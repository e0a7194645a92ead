"""What every verb shares: its command line, the shelf, times, and output as text or one JSON document."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Sequence
from datetime import datetime
from importlib import import_module
from typing import TYPE_CHECKING, NoReturn

from core.errors import Unusable
from tui.commands.around import now, shelf_path
from tui.commands.said_after import alarms_told, say_alarms, say_boxes, say_struck

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

    from core.shelf import Shelf
    from core.workbook.workbook import Workbook


class HelpLines(argparse.HelpFormatter):
    """Help in which an example stands as it is typed: broken at a hyphen it is another command."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        return text if text.startswith(EXAMPLE) else super()._fill_text(text, width, indent)


EXAMPLE = "Example: "


class CommandLine(argparse.ArgumentParser):
    """A parser whose complaint is one line."""

    def error(self, message: str) -> NoReturn:
        """Unusable instead of usage text and an exit."""
        raise Unusable(f"{self.prog.removeprefix('reelturn ')}: {message} (reelturn --help tells more)")

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        """Prints its help; the library's own way passes over output that cannot be written."""
        print(message, end="", file=file or sys.stderr)


def call(verb: str, words: Sequence[str], shelf: str | None) -> int:
    """Runs a verb with what stands after it; the exit status."""
    from tui.commands.examples import EXAMPLES
    from tui.verbs import VERBS, module_of

    module = import_module(module_of(verb))
    parser = CommandLine(prog=f"reelturn {verb}", description=VERBS[verb], allow_abbrev=False)
    parser.formatter_class = HelpLines
    parser.epilog = f"{EXAMPLE}{EXAMPLES.get(verb, f'reelturn {verb}')}"
    parser.add_argument(
        "--shelf", metavar="FILE", help="the shelf; else REELTURN_SHELF, else your data folder"
    )
    module.arguments(parser)
    try:
        given = parser.parse_args(words)
    except SystemExit:  # --help has printed
        return 0
    given.shelf = given.shelf or shelf
    given.tells_alarms = getattr(module, "tells_alarms", _tells_none)(given)
    alarms_told.clear()
    _open.clear()
    try:
        return int(module.run(given))
    finally:  # what was changed may have raised one, and what was refused told none of its own
        for workbook, found in _open:
            say_alarms(workbook.shelf)
            say_boxes(workbook.shelf, found)
            say_struck(workbook, found)


def _tells_none(given: argparse.Namespace) -> bool:
    return False


_open: list[tuple[Workbook, Shelf]] = []


def opened(given: argparse.Namespace) -> Workbook:
    """The workbook on the shelf that the command line names; its alarms are said first.

    A verb that prints them itself says so by its ``tells_alarms``.
    """
    from core.workbook.workbook import Workbook

    workbook = Workbook.open(shelf_path(given.shelf), now)
    _open.append((workbook, workbook.shelf))
    if not getattr(given, "tells_alarms", False):
        say_alarms(workbook.shelf)
    return workbook


def add_json(parser: argparse.ArgumentParser) -> None:
    """Adds ``--json``."""
    parser.add_argument("--json", action="store_true", help="print one JSON document and nothing else")


def add_at(parser: argparse.ArgumentParser) -> None:
    """Adds ``--at``."""
    parser.add_argument(
        "--at", metavar="TIME", help="when, as 2026-12-01T19:30 by the studio's clock; else now"
    )


def moment(text: str | None, shelf: Shelf, option: str = "--at") -> datetime | None:
    """The time that an option gives; Unusable where it is none."""
    if text is None:
        return None
    from core.clock import read_time, years_ahead

    try:
        at = read_time(text, shelf.studio.zone)
    except ValueError as error:
        raise Unusable(f"{option}: {text!r} is not {error}") from None
    wrong = years_ahead(at, now()) if option == "--at" else ""
    if wrong:
        raise Unusable(f"{option}: {text!r} is not {wrong}")
    return at


def ahead(at: datetime, now: datetime) -> str:
    """How far that moment lies ahead, in words; empty for one that is over, or not a quarter hour away."""
    from core.clock import minutes_between
    from core.words import hours_text

    minutes = int(minutes_between(now, at))
    return f"{hours_text(minutes)} ahead" if minutes > 15 else ""


def far_off(at: datetime, now: datetime) -> str:
    """That a moment lies far from now, with its whole date: a slip of month or year is mostly why."""
    from core.clock import minutes_between
    from core.words import day_text

    days = int(minutes_between(now, at)) / 1440
    if abs(days) < FAR_DAYS:
        return ""
    when = f"in {days:.0f} days" if days > 0 else f"{-days:.0f} days ago"
    return f"{day_text(at.date())} {at.year}, {when}: look at month and year"


FAR_DAYS = 14  # by then no load that began runs still, and none is told ahead


def print_json(document: object) -> None:
    """One JSON document on standard output, in letters that any encoding has."""
    text = json.dumps(document, indent=1, allow_nan=False, ensure_ascii=not _speaks_utf8())
    print(text)


def _speaks_utf8() -> bool:
    return (getattr(sys.stdout, "encoding", "") or "").casefold().replace("-", "") == "utf8"


def print_lines(lines: Iterable[str]) -> None:
    """Lines on standard output, without whatever would do something to a terminal."""
    from tui.text.plain import clean

    for line in lines:
        if line.lstrip().startswith("! "):
            alarms_told.add(line.strip().removeprefix("! "))
        print(clean(line).rstrip())
