"""Adds rows from files."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.commands.command import add_json, opened, print_json


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("files", nargs="+", metavar="FILE", help="CSV files, a records.json, a studio.toml")
    parser.add_argument("--update", action="store_true", help="bring keys that are there already up to date")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Takes the files in, all or none."""
    report = opened(given).import_files([Path(file) for file in given.files], given.update)
    if given.json:
        print_json(report.to_json())
        return 0
    for what, counts in (
        ("added", report.added),
        ("updated", report.updated),
        ("unchanged", report.unchanged),
    ):
        for kind, count in counts.items():
            print(f"{what} {count} {kind}")
    if not (report.added or report.updated or report.unchanged):
        print("nothing to import: the files hold no rows")
    return 0
