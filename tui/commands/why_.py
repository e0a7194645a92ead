"""Why the kept plan leaves a reel over, or has a song no sooner."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tui.commands.command import add_json, opened, print_json, print_lines

if TYPE_CHECKING:
    from datetime import date

    from core.planning.answers.because import Because
    from core.workbook.workbook import Workbook


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("what", metavar="REEL or SONG")
    parser.add_argument(
        "--by", metavar="DATE", help="why the song is not ready by then; else by the day before it is"
    )
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """The rule that binds, and what would do; for a song, of each reel that is late."""
    from core.planning.wishes.wish_words import read_day
    from tui.cli import say

    workbook = opened(given)
    by = read_day(given.by, workbook.now().date()) if given.by is not None else None
    reasons = workbook.plans.why(given.what, by)
    stale = workbook.plans.plan_is_stale()
    if stale:
        say(stale)
    if given.json:
        document = {"what": given.what, "by": str(by) if by else None}
        print_json(document | {"because": [one.to_json() for one in reasons]})
    else:
        print_lines(_lines(workbook, given.what, by, reasons))
    return 0


def _lines(workbook: Workbook, what: str, by: date | None, reasons: Sequence[Because]) -> Iterator[str]:
    song = workbook.shelf.songs.get(what)
    if song is not None:
        plan = workbook.plans.needed_plan()
        ready = next((one.ready for one in plan.songs if one.song == what), None)
        when = f"ready on {ready:%Y-%m-%d %H:%M}" if ready else "not ready in this plan"
        yield f"{what}  {song.title}: {when}{f', asked for by {by}' if by else ''}"
        if not reasons:
            yield "  nothing stands in its way"
        yield from (f"  {one.what}: {one.says}" for one in reasons)
        return
    yield from (f"{one.what}: {one.says}" if one.rule else one.why for one in reasons)
