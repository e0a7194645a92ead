"""Measures a line-up from a capture of a calibration tape, and keeps it."""

from __future__ import annotations

import argparse
import math
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.lineup.record import When
    from core.shelf import Shelf


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("deck", metavar="DECK")
    parser.add_argument("reel", metavar="REEL", help="the calibration reel")
    parser.add_argument("files", nargs="+", metavar="FILE", help="its tones as captured, all tracks")
    parser.add_argument("--zero", metavar="DBFS", help="what the operating level makes in the files")
    parser.add_argument("--apart", metavar="MM", help="between the middles of the outer tracks")
    parser.add_argument("--after", action="store_true", help="as left; else as found")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """0 where every line that was read passes, 1 where one fails."""
    from core.lineup.verdict import judge
    from tui.text.captures.lineup import lineup_json, lineup_lines

    zero, apart = _number(given.zero, "--zero"), _number(given.apart, "--apart")
    if apart is not None and apart <= 0:
        raise Unusable("--apart: the distance is more than 0 mm")
    files = [Path(file) for file in given.files]
    when: When = "after" if given.after else "before"
    workbook = opened(given)
    made = workbook.handing_out.line_up(
        given.deck, given.reel, files, zero_dbfs=zero, apart_mm=apart, when=when
    )
    _say_what_it_left(workbook.shelf, given.deck, given.reel)
    if given.json:
        print_json(lineup_json(made))
    else:
        print_lines(lineup_lines(made))
    judged = judge(made.sheet, made.record, made.when)
    return 1 if any(one.verdict == "fail" for one in judged) else 0


def _say_what_it_left(shelf: Shelf, deck: str, reel: str) -> None:
    """What was captured ran: what it left on the path of its deck is to be wiped."""
    from core.conditioning.spreading.dirty_path import dirty_path
    from tui.said import say

    path = dirty_path(shelf, deck)
    if path is not None and path.reel == reel:
        say(f"! {path.says}")


def _number(text: str | None, option: str) -> float | None:
    if text is None:
        return None
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not math.isfinite(number) or abs(number) > 200:
        raise Unusable(f"{option}: {text!r} is not a number such as -18")
    return number
