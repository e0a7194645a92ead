"""Plans the evenings."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from core.clock import evening_of
from core.errors import Unusable
from core.words import day_text
from tui.commands.command import add_json, moment, opened, print_json, print_lines
from tui.commands.interrupting import Interrupting
from tui.commands.said_after import say_stale
from tui.said import say

if TYPE_CHECKING:
    from datetime import datetime

    from core.plan import Plan
    from core.planning.incumbent import Progress
    from core.workbook.workbook import Workbook


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "--from", dest="start", metavar="TIME", help="when to start; else the next full grid moment"
    )
    parser.add_argument("--days", default="14", metavar="N", help="how many days, 1 to 800 (14)")
    how = parser.add_mutually_exclusive_group()
    how.add_argument("--seconds", metavar="S", help="search that long; 0: the first valid plan")
    how.add_argument("--effort", metavar="E", help="search that much; repeatable to the byte")
    parser.add_argument(
        "--all", action="store_true", help="tell the whole plan, evening by evening, not only the first lines"
    )
    parser.add_argument("--show", action="store_true", help="tell the kept plan in full; plans nothing")
    parser.add_argument("--slack", metavar="SHARE", help="keep that share of every evening free, as 10%%")
    add_json(parser)


def tells_alarms(given: argparse.Namespace) -> bool:
    """True: the alarms stand above what the new plan says."""
    return not (given.show or given.all or given.json)


def run(given: argparse.Namespace) -> int:
    """Plans, keeps the plan, tells it; interrupted it keeps nothing."""
    if given.show:
        return _show(given)
    days = _whole(given.days)
    seconds = number(given.seconds, "--seconds", lowest=0)
    effort = number(given.effort, "--effort", lowest=0)
    if effort == 0:
        raise Unusable("--effort: give a number above 0")
    slack = None if given.slack is None else share(given.slack)
    workbook = opened(given)
    start = moment(given.start, workbook.shelf, "--from")
    with Interrupting() as interrupting:
        made = workbook.plans.plan(
            start,
            days,
            seconds=seconds,
            effort=effort,
            progress=_told if sys.stderr.isatty() else None,
            stop=interrupting.asked,
            keep=False,
            slack=slack,
        )
    if sys.stderr.isatty():
        print(file=sys.stderr)
    if interrupting.asked():
        raise KeyboardInterrupt
    before = workbook.plans.kept_plan()
    kept = workbook.plans.keep_plan(made)
    _says_over(kept, workbook.now())
    if given.json:
        _print_document(workbook, made)
        return 0
    if given.all:
        _print_all(workbook, kept)
        return 0
    from tui.board.what_moved import what_moved
    from tui.text.plan_lines import plan_lines

    moved = made.moved or (what_moved(before, kept, workbook.shelf) if before is not None else ())
    dates = workbook.plans.song_dates().values()
    print_lines(plan_lines(workbook.shelf, kept, dates, tuple(moved), workbook.now()))
    return 0


def _says_over(plan: Plan, now: datetime) -> None:
    """A line on a plan that begins on an evening that is over: nothing of that can be done any more."""
    if evening_of(plan.start) < evening_of(now.astimezone(plan.start.tzinfo)):
        day = f"{day_text(plan.start.date())} {plan.start:%Y}"
        say(f"this plan begins on {day}, which is over; `reelturn undo` brings back what was kept before")


def _show(given: argparse.Namespace) -> int:
    """The kept plan in full."""
    workbook = opened(given)
    kept = workbook.plans.needed_plan()
    if given.json:
        _print_document(workbook, kept)
        return 0
    say_stale(workbook)
    _print_all(workbook, kept)
    return 0


def _print_all(workbook: Workbook, kept: Plan) -> None:
    from tui.text.week import week_lines

    wishes, free = workbook.plans.wishes_told(kept), workbook.plans.holes(kept)
    dates, now = workbook.plans.song_dates().values(), workbook.now()
    print_lines(week_lines(workbook.shelf, kept, dates, wishes, free, now))


def _print_document(workbook: Workbook, plan: Plan) -> None:
    wishes, free = workbook.plans.wishes_told(plan), workbook.plans.holes(plan)
    print_json(
        plan.to_json()
        | {"wishes": [one.to_json() for one in wishes], "holes": [one.to_json() for one in free]}
    )


def share(text: str) -> float:
    """A share of the evening as ``10%``; Unusable where it is none."""
    found = number(text.strip().removesuffix("%"), "--slack", lowest=0) or 0.0
    if found > 60:
        raise Unusable(f"--slack: {text!r} is more than 60 % of an evening")
    return found / 100


def _whole(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 800:
        raise Unusable(f"--days: {text!r} is not a whole number from 1 to 800")
    return int(text)


def number(text: str | None, option: str, lowest: float) -> float | None:
    """The number that an option gives; Unusable where it is none, or below ``lowest``."""
    if text is None:
        return None
    try:
        number = float(text)
    except ValueError:
        number = -1.0
    if not lowest <= number <= 1e6:
        raise Unusable(f"{option}: {text!r} is not a number from {lowest:g} up")
    return number


def _told(progress: Progress) -> None:
    print(
        f"\r{progress.seconds:6.1f} s  score {progress.score:.1f}, within {progress.gap:.2%} ",
        end="",
        file=sys.stderr,
        flush=True,
    )
