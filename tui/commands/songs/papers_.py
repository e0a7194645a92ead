"""Loose sheets and stretches without a sheet: proposals, and the owner's decisions."""

from __future__ import annotations

import argparse
import re
from fractions import Fraction
from typing import TYPE_CHECKING

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.workbook.loose_sheets import Span
    from core.workbook.workbook import Workbook


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("sheet", nargs="?", metavar="SHEET", help="a sheet's key")
    parser.add_argument(
        "place", nargs="?", metavar="REEL[@FROM-TO]",
        help="the tape it belongs to, span as 0:40-5:10; loose: undecided again; none: of no tape",
    )  # fmt: skip
    parser.add_argument("--because", default="", metavar="TEXT", help="why, for the history")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Tells all proposals, or keeps one decision."""
    workbook = opened(given)
    if given.sheet is None:
        from tui.text.songs.papers import papers_lines

        found = workbook.loose.proposals()
        if given.json:
            print_json(found.to_json())
        else:
            print_lines(papers_lines(found))
        return 0
    if given.place is None:
        return _one_sheet(workbook, given)
    if given.place in ("loose", "none") and given.place not in workbook.shelf.reels:
        act = workbook.loose.loose if given.place == "loose" else workbook.loose.of_no_tape
        print_lines([act(given.sheet, given.because)])
        return 0
    reel, span = place_of(given.place)
    print_lines([workbook.loose.belongs(given.sheet, reel, span, given.because)])
    return 0


def _one_sheet(workbook: Workbook, given: argparse.Namespace) -> int:
    """Tells what one sheet says and where it belongs."""
    from tui.text.songs.papers import sheet_lines

    if given.because:
        raise Unusable(f"papers {given.sheet}: a tape is wanted, such as R-001@0:40-5:10, or loose, or none")
    paper = workbook.loose.paper(given.sheet)
    if given.json:
        print_json(workbook.loose.paper_json(paper))
        return 0
    (head, *lines) = sheet_lines(workbook.shelf, paper)
    print_lines([head[1], *(f"  {line}" for _, line in lines)])
    return 0


def place_of(text: str) -> tuple[str, Span | None]:
    """``R-001@0:40-5:10`` as a reel and a span; Unusable where it is neither."""
    from core.clock import clock_seconds

    reel, at, span = text.partition("@")
    if not at:
        return reel, None
    match = re.fullmatch(r"\s*([0-9:.]+)\s*[-\u2013]\s*([0-9:.]+)\s*", span)
    try:
        start, end = (Fraction(clock_seconds(one)) for one in match.groups()) if match else (1, 0)
    except ValueError:
        start, end = 1, 0
    if start >= end:
        raise Unusable(f"{text!r} is no place on a tape: give it as {reel or 'R-001'}@0:40-5:10")
    return reel.strip(), (Fraction(start), Fraction(end))
