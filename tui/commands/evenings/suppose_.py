"""What another evening, a tray, more inputs or the helper on one more day would bring."""

from __future__ import annotations

import argparse
import sys
from datetime import date, timedelta
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.interrupting import Interrupting

if TYPE_CHECKING:
    from core.planning.answers.changes import Change
    from core.workbook.workbook import Workbook

SECONDS = 3.0
DAYTIME = (8 * 60, 23 * 60)  # a day at home, where no hours are said


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    add = parser.add_argument
    add("--evening", action="append", default=[], metavar="DAY", help="bench hours every fri, or fri=19-22")
    add("--day", action="append", default=[], metavar="DATE", help="one date more, or sat=09:00-19:00")
    add("--helper", action="append", default=[], metavar="DAY", help="the helper on that weekday or date too")
    add("--home", action="append", default=[], metavar="DATE", help="someone home then: sat=08:00-20:00")
    add("--slack", action="append", default=[], metavar="SHARE", help="that share of evenings free, as 0%%")
    add("--trays", action="append", default=[], metavar="C1=7", help="so many trays in that chamber")
    add("--inputs", action="append", default=[], metavar="N", help="so many inputs of the recorder")
    add("--assume", action="append", default=[], metavar="eq=NAB", help="what a silent box means")
    how = parser.add_mutually_exclusive_group()
    how.add_argument("--seconds", metavar="S", help=f"search that long for each ({SECONDS:g})")
    how.add_argument("--effort", metavar="E", help="search that much for each; repeatable to the byte")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Plans the rest of the kept plan's days as they are and with each change; keeps nothing."""
    from tui.commands.evenings.plan_ import number

    seconds = number(given.seconds, "--seconds", lowest=0)
    effort = number(given.effort, "--effort", lowest=0)
    workbook = opened(given)
    changes = asked(given, workbook)
    with Interrupting() as interrupting:
        tried = workbook.plans.suppose(
            changes or None,
            seconds=(SECONDS if effort is None else None) if seconds is None else seconds,
            effort=effort,
            stop=interrupting.asked,
            told=_told if sys.stderr.isatty() else None,
        )
    if interrupting.asked():
        raise KeyboardInterrupt
    if given.json:
        print_json([one.to_json() for one in tried])
        return 0
    from tui.text.supposed import supposed_lines

    print_lines(supposed_lines(workbook.shelf, tried))
    return 0


def asked(given: argparse.Namespace, workbook: Workbook) -> dict[str, Change]:
    """The changes that the options name, by their words."""
    from core.planning.answers.changes import (
        another_evening,
        more_inputs,
        more_trays,
        on_date,
        there_on,
        with_slack,
    )
    from core.planning.answers.more_hours import usual_evening
    from core.planning.wishes.wish_words import read_day
    from tui.commands.evenings.plan_ import share

    today = workbook.now().date()

    out: dict[str, Change] = {}
    usual = usual_evening(workbook.shelf.studio)
    for text in given.evening:
        day, _, hours = text.partition("=")
        out[f"every {text} too"] = another_evening((_weekday(day, "--evening"),), *_span(hours, usual))
    for text in given.day:
        day, _, hours = text.partition("=")
        when = read_day(day, today + timedelta(days=1))
        out[f"one more day, {when}{f' {hours}' if hours else ''}"] = on_date(when, *_span(hours, usual))
    for text in given.helper:
        out[f"the helper on {text} too"] = _helper(text, today, usual)
    for text in given.home:
        day, _, hours = text.partition("=")
        out[f"someone home on {text}"] = there_on("home", read_day(day, today), *_span(hours, DAYTIME))
    for text in given.slack:
        out[f"slack {text}"] = with_slack(Fraction(str(share(text))))
    for text in given.trays:
        chamber, _, trays = text.partition("=")
        if all(one.id != chamber for one in workbook.shelf.studio.chambers):
            raise Unusable(f"--trays: no chamber {chamber!r} in this studio: write C1=7")
        out[f"{trays} trays in {chamber}"] = more_trays(chamber, _count(trays, "--trays"))
    for text in given.inputs:
        out[f"{text} inputs"] = more_inputs(_count(text, "--inputs"))
    if given.assume:
        out[f"{' and '.join(given.assume)} where boxes say nothing"] = _assuming(given.assume)
    return out


def _helper(text: str, today: date, usual: tuple[int, int]) -> Change:
    """The helper every ``thu``, in all bench time of a date, or in those hours of it."""
    from core.planning.answers.changes import helper_on, helper_that_day, there_on
    from core.planning.wishes.wish_words import read_day

    day, _, hours = text.partition("=")
    if hours:
        return there_on("helper", read_day(day, today), *_span(hours, usual))
    if day.strip().isalpha():
        return helper_on((_weekday(day, "--helper"),))
    return helper_that_day(read_day(day, today))


def _assuming(texts: list[str]) -> Change:
    """The studio taking those for granted, all at once."""
    from dataclasses import replace

    from core.quantities import read_quantity

    told: dict[str, Any] = {}
    for text in texts:
        name, _, word = (part.strip() for part in text.partition("="))
        if name not in ("eq", "level") or not word:
            raise Unusable(f"--assume: {text!r}: write eq=NAB or level='250 nWb/m'")
        try:
            told[f"assume_{name}"] = word if name == "eq" else read_quantity(word, "flux")
        except ValueError as error:
            raise Unusable(f"--assume: {text!r}: {error}") from None
    return lambda studio: replace(studio, **told)


def _weekday(text: str, option: str) -> str:
    from core.studio.studio import WEEKDAYS

    name = text.strip().casefold()[:3]
    if name not in WEEKDAYS:
        raise Unusable(f"{option}: {text!r} is no weekday: write one of {', '.join(WEEKDAYS)}")
    return name


def _span(text: str, usual: tuple[int, int]) -> tuple[int, int]:
    """``19:00-22:00`` or ``19-22`` as minutes past midnight; the usual evening where nothing is said."""
    if not text:
        return usual
    try:
        begin, end = (_minutes(part) for part in text.split("-"))
    except ValueError:
        raise Unusable(f"hours {text!r}: write them as 19:00-22:00") from None
    return begin, end if end > begin else end + 24 * 60


def _minutes(text: str) -> int:
    hours, _, rest = text.partition(":")
    minutes = int(hours) * 60 + int(rest or 0)
    if not 0 <= minutes <= 24 * 60:
        raise ValueError(text)
    return minutes


def _count(text: str, option: str) -> int:
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 999:
        raise Unusable(f"{option}: {text!r} is not a whole number from 1 to 999")
    return int(text)


def _told(name: object) -> None:
    print(f"reelturn: planning with {name} ...", file=sys.stderr, flush=True)
