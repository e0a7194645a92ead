"""Has a tape that shed planned to be played again from the minute that its check tells."""

from __future__ import annotations

import argparse
from datetime import datetime
from typing import TYPE_CHECKING

from core.errors import Refused, Unusable
from tui.commands.command import add_at, add_json, moment, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.evening.after_check import Again
    from core.workbook.workbook import Workbook


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL")
    how = parser.add_mutually_exclusive_group()
    how.add_argument("--warm", action="store_true", help="it is warmed before that")
    how.add_argument("--clean", action="store_true", help="it is stopped every few minutes to be cleaned")
    how.add_argument("--whole", action="store_true", help="all of it, also what was good")
    parser.add_argument("--from", dest="since", metavar="M:SS", help="another minute than the check tells")
    parser.add_argument("--because", default="", metavar="TEXT", help="why, where no check tells anything")
    add_at(parser)
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Notes what the checks tell, sends the reel back, and tells from which minute its passes are due."""
    from core.clock import clock_text

    workbook = opened(given)
    at = moment(given.at, workbook.shelf) or workbook.now()
    how: Again = "warm" if given.warm else "clean" if given.clean else "whole" if given.whole else "play"
    due = _sent_back(workbook, given, how, at)
    stage = workbook.shelf.reel(given.reel).stage
    if given.json:
        passes = [{"pass": number, "from": second} for number, second in due.items()]
        print_json({"reel": given.reel, "stage": stage, "how": how, "passes": passes})
        return 0
    told = [f"pass {number} from {clock_text(int(second))} to the end" for number, second in due.items()]
    print_lines([f"{given.reel} is {stage}, to be played again: {'; '.join(told) or 'all of it'}"])
    return 0


def _sent_back(workbook: Workbook, given: argparse.Namespace, how: Again, at: datetime) -> dict[int, float]:
    """By pass, the second from which it is due; empty where all of the tape is."""
    from core.evening.after_check import again_after_check, due_from_minutes, not_again
    from core.standing.back_to_tape import told_of_the_tape

    reel, since = given.reel, _second(given.since, how)
    why = not_again(workbook.shelf, reel, how, at)
    if why:
        raise Refused(f"{reel} is not sent back: {why}")
    told = " ".join(filter(None, (told_of_the_tape(one) for one in workbook.captures.kept_checks(reel))))
    if not told and not given.because.strip():
        raise Refused(f"no check of {reel} tells anything of the tape itself: say why (--because)")
    due = {} if how == "whole" else due_from_minutes(workbook.shelf, reel, since)
    because = given.because.strip() or told
    with workbook.as_one(f"{how} {reel} again"):
        if told:
            workbook.note(reel, told, at)
        workbook.change(
            lambda shelf: again_after_check(shelf, reel, how, at, because, since),
            what=f"{how} {reel} again", because=because, at=at,
        )  # fmt: skip
    return due


def _second(text: str | None, how: str) -> float | None:
    from core.clock import clock_seconds

    if text is None:
        return None
    if how == "whole":
        raise Unusable("--from goes without --whole")
    try:
        return float(clock_seconds(text))
    except ValueError as error:
        raise Unusable(f"--from {text!r}: a minute is written as 12:20 ({error})") from error
