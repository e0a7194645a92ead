"""Writes the kept plan as iCalendar."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tui.commands.command import opened, print_lines
from tui.commands.said_after import say_stale


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("--out", metavar="FILE.ics", help="the file (standard output)")


def run(given: argparse.Namespace) -> int:
    """To a file, or to standard output byte for byte."""

    workbook = opened(given)
    content = workbook.papers.calendar()
    say_stale(workbook)
    if given.out:
        from core.store.disk.atomic import write_whole

        write_whole(Path(given.out), content)
        print_lines([given.out])
    else:
        sys.stdout.flush()
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
    return 0
