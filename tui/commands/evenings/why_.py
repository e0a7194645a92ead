"""Why the kept plan leaves a reel over, or has a song no sooner."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.said_after import say_stale

if TYPE_CHECKING:
    from datetime import date

    from core.plan import Plan
    from core.planning.answers.because import Because
    from core.shelf import Shelf
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

    workbook = opened(given)
    gone = _gone(workbook)
    by = read_day(given.by, workbook.now().date()) if given.by is not None else None
    reasons = workbook.plans.why(given.what, by)
    say_stale(workbook)
    if given.json:
        document = {"what": given.what, "by": str(by) if by else None}
        struck = {key: why for key, why in gone.items() if key in _reels(workbook, given.what)}
        print_json(document | {"because": [one.to_json() for one in reasons], "struck": struck})
    else:
        print_lines(_lines(workbook, given.what, by, reasons, gone))
    return 0


def _gone(workbook: Workbook) -> dict[str, str]:
    """By reel, why it must not be worked on as the kept plan has it."""
    from core.standing.of_plan.still import struck

    plan = workbook.plans.needed_plan()
    return {
        one.reel: one.why
        for one in reversed(struck(workbook.shelf, plan, max(plan.start, workbook.now())))
        if one.reel
    }


def _reels(workbook: Workbook, what: str) -> tuple[str, ...]:
    """The reel itself, or those that the song needs."""
    song = workbook.shelf.songs.get(what)
    return (what,) if song is None else tuple(need.reel for need in song.needs)


def _lines(
    workbook: Workbook, what: str, by: date | None, reasons: Sequence[Because], gone: Mapping[str, str]
) -> Iterator[str]:
    song, plan = workbook.shelf.songs.get(what), workbook.plans.needed_plan()
    if song is not None:
        date = workbook.plans.song_dates()[what]
        yield f"{what}  {song.title}: {date.words}{f', asked for by {by}' if by else ''}"
        if not song.needs:
            yield f"  it names no reel, so there is nothing to plan: reelturn set song {what} needs=REEL"
        elif not reasons and not any(need.reel in gone for need in song.needs):
            yield "  nothing stands in its way"
        yield from (f"  {one.what}: {one.says}" for one in reasons if one.what not in gone)
        shelf = workbook.shelf
        yield from (f"  {line}" for need in song.needs for line in _rests(shelf, plan, need.reel, gone))
        return
    over = _nothing_bars_it(workbook, plan, what)
    if over:
        yield over
    elif what not in gone:
        yield from (f"{one.what}: {one.says}" if one.rule else one.why for one in reasons)
    yield from _rests(workbook.shelf, plan, what, gone)


def _nothing_bars_it(workbook: Workbook, plan: Plan, reel: str) -> str:
    """That a plan leaves a reel over for what is not so any more; empty for any other."""
    from core.conditioning.advisor import barred

    why = next((one.barred_by for one in plan.left_over if one.reel == reel and one.barred_by), None)
    there = workbook.shelf.reels.get(reel)
    if why is None or there is None or barred(workbook.shelf, there, workbook.now()) is not None:
        return ""
    return f"{reel}: left over by this plan ({why}), and nothing bars it any more: plan again"


def _rests(shelf: Shelf, plan: Plan, reel: str, gone: Mapping[str, str]) -> Iterator[str]:
    """By what its deck is lined up for a planned transfer, and what that takes for granted; or why not."""
    from core.evening.around.unset import line_up_notes
    from core.evening.tonight.line_ups import line_up_of, made_with
    from core.evening.tonight.provisional import provisional_words
    from core.words import day_text

    if reel in gone:
        yield f"{reel}: not as planned any more: {gone[reel]}"
        return
    for item in plan.items:
        if item.kind == "transfer" and item.reel == reel:
            align = line_up_of(plan, item)
            made = "" if align is None else made_with(shelf, plan, align)
            by = " lined up" if made.startswith("with") else ","
            how = f", {item.deck}{by} {made}" if made else ""
            rests = provisional_words(item)
            told = f"{reel}: transfer on {day_text(item.start.date())} {item.start:%H:%M}{how}"
            yield f"{told}; {rests}" if rests else told
            yield from (f"  {note}" for note in line_up_notes(shelf, plan).get(id(align), ()))
