"""Adds rows from files."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import RowsRefused, Unusable
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.said import say

if TYPE_CHECKING:
    from core.store.exchange.what_came import Reads
    from core.workbook.workbook import Workbook


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "files", nargs="+", metavar="FILE", help="CSV, xlsx or ods files, a records.json, a studio.toml"
    )
    parser.add_argument("--update", action="store_true", help="bring keys that are there already up to date")
    parser.add_argument(
        "--bare", action="store_true", help="take a bare number in the one unit that its column can have"
    )
    parser.add_argument(
        "--column",
        action="append",
        default=[],
        metavar="OWN=OURS",
        help="a column of your own that is one of ours, such as Title=box_label",
    )
    parser.add_argument(
        "--to-notes",
        action="store_true",
        help="leave out cells that cannot be read; the notes keep them",
    )
    parser.add_argument("--look", action="store_true", help="tell what would be taken, and take nothing")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Takes the files in, all or none."""
    workbook, paths = opened(given), [Path(file) for file in given.files]
    if given.look:
        return _look(workbook, paths, given)
    from core.store.intake.looking import rows_told

    try:
        report = workbook.import_files(paths, update=given.update, reads=_reads(given))
    except RowsRefused as refused:
        raise RowsRefused((*refused.lines, *_of_bare(refused.bare))) from None
    if given.json:
        print_json(report.to_json())
        return 0
    for what, counts in (
        ("added", report.added),
        ("updated", report.updated),
        ("unchanged", report.unchanged),
    ):
        for kind, count in counts.items():
            print(f"{what} {rows_told(count, kind)}")
    if not (report.added or report.updated or report.unchanged):
        print("nothing to import: the files hold no rows")
    for line in report.notes:
        say(line)
    return 0


def _reads(given: argparse.Namespace) -> Reads:
    from core.store.exchange.what_came import Reads
    from core.store.rows.tables import TABLES

    columns = {}
    for told in given.column:
        own, sign, ours = told.partition("=")
        if not (own.strip() and sign and ours.strip()):
            raise Unusable(f"--column {told}: give your column and ours, such as --column Title=box_label")
        if all(ours.strip() not in table.columns for table in TABLES):
            raise Unusable(f"--column {told}: {ours.strip()} is none of ours, as box_label is")
        columns[own.strip()] = ours.strip()
    return Reads(given.bare, columns, given.to_notes)


def _of_bare(count: int) -> tuple[str, ...]:
    """What takes the bare numbers among what was refused; of a single one its line says enough."""
    if count < 2:
        return ()
    return (f"{count} of these are numbers without a unit where just one makes sense: --bare takes them so",)


def _look(workbook: Workbook, paths: list[Path], given: argparse.Namespace) -> int:
    look = workbook.look_at_files(paths, update=given.update, reads=_reads(given))
    if given.json:
        print_json(look.to_json())
    else:
        print_lines(look.lines())
        for line in (*look.notes, *look.refused, *_of_bare(look.bare)):
            say(line)
    return 1 if look.refused else 0
