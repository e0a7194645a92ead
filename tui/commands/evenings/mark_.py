"""Moves a reel to a stage."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.command import add_at, add_json, ahead, moment, opened, print_json, print_lines
from tui.commands.said_after import say_alarms

if TYPE_CHECKING:
    from core.workbook.workbook import Workbook


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL")
    parser.add_argument("stage", metavar="STAGE")
    add_at(parser)
    parser.add_argument("--note", default="", metavar="TEXT", help="a remark, kept in its history")
    parser.add_argument(
        "--because", default="", metavar="TEXT", help="why it goes back, or passes an unmet gate"
    )
    add_json(parser)


def tells_alarms(given: argparse.Namespace) -> bool:
    """True: what is told may be what ends one, and none stands above the answer that ended it."""
    return True


def _remark(workbook: Workbook, given: argparse.Namespace) -> None:
    """A line-up that does not hold now is said so, and a verified reel without a second copy."""
    from core.standing.gates import stage_now
    from core.standing.proof import no_second_copy
    from tui.said import say

    shown = stage_now(workbook.shelf, workbook.shelf.reel(given.reel), workbook.now())
    if given.stage == "aligned" and shown != "aligned":
        say(f"{given.reel}: it is kept so, and shown as {shown}: aligned holds while a deck stands on its "
            "set-up, lined up in the bench window of that moment")  # fmt: skip
    why = no_second_copy(workbook.shelf, given.reel) if given.stage == "verified" else None
    if why is not None:
        say(f"{given.reel}: {why}: reelturn copies {given.reel} DIR compares one")


def run(given: argparse.Namespace) -> int:
    """Marks it, and tells what that changed."""
    from core.clock import write_time
    from core.conditioning.told.out_ahead import out_ahead
    from tui.said import say

    workbook = opened(given)
    at = moment(given.at, workbook.shelf) or workbook.now()
    before = workbook.shelf
    after = workbook.mark(given.reel, given.stage, at, given.note, given.because)
    say_alarms(after)
    _remark(workbook, given)
    still = ahead(at, workbook.now())
    if still:
        say(f"{given.reel}: that is {still}, and it is written as done")
        for line in (one for one in out_ahead(after, workbook.now()) if one.startswith(f"{given.reel} ")):
            say(f"! {line}")
    rows = [event for event in after.history[len(before.history) :]]
    if given.json:
        print_json(
            {
                "reel": given.reel,
                "stage": after.reel(given.reel).stage,
                "at": write_time(at),
                "note": given.note,
                "because": next((event.because for event in rows if event.because), given.because),
                "changed": [
                    {name: getattr(event, name) for name in ("kind", "key", "field", "old", "new")}
                    for event in rows
                ],
            }
        )
        return 0
    also = [event.key for event in rows if event.field == "stage" and event.key != given.reel]
    print_lines([f"{given.reel} is {given.stage}" + (f"; so are {', '.join(also)}" if also else "")])
    return 0
