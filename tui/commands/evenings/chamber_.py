"""Shows a chamber load, running or past, and writes down what was read and done there."""

from __future__ import annotations

import argparse
from datetime import datetime
from typing import TYPE_CHECKING

from core.errors import Refused, Unusable
from core.words import hours_text
from tui.commands.command import add_at, add_json, ahead, moment, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.shelf import Shelf
    from core.workbook.workbook import Workbook

ACTS = ("read", "turned", "weigh", "out", "broken_off", "go_on", "began", "empty_run", "ran")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("chamber", nargs="?", default="", metavar="CHAMBER", help="else the one that runs")
    parser.add_argument("--load", metavar="TIME", help="the load that began then; else the newest")
    parser.add_argument("--list", action="store_true", help="name every load, oldest first")
    does = parser.add_mutually_exclusive_group()
    does.add_argument("--read", metavar="READING", help='a thermometer: "54.5 top", "130 °F bottom"')
    does.add_argument("--turned", action="store_true", help="the turn or take-out that is next is done")
    does.add_argument("--weigh", nargs=2, metavar=("REEL", "WEIGHT"), help='"1502 g", before or after')
    does.add_argument("--out", nargs="+", metavar="REEL", help="those reels came out")
    does.add_argument("--broken-off", metavar="WHY", help="the warmth ended before its time")
    does.add_argument("--go-on", action="store_true", help="a load that was broken off goes on, still warm")
    does.add_argument("--began", metavar="TIME", help="the load that runs began then: corrects its start")
    does.add_argument("--empty-run", nargs="?", const="", metavar="HEAT", help="an empty run has begun")
    does.add_argument("--ran", nargs=2, metavar=("REEL", "HOW"), help="clean heads, some shed, stopped")
    does.add_argument("--worked", action="store_true", help="which programme worked on which stock, here")
    does.add_argument("--print", metavar="DIR", help="the log as a PDF into that folder")
    parser.add_argument("--because", metavar="WHY", help="a touch that comes much too early is told why")
    add_at(parser)
    add_json(parser)


def tells_alarms(given: argparse.Namespace) -> bool:
    """True where a load is told: the alarms stand above it."""
    return not (given.json or given.list or given.worked or given.print is not None)


def run(given: argparse.Namespace) -> int:
    """Does what is asked for, then tells how the load stands."""
    from core.conditioning.load_state import load_state
    from core.conditioning.loads.degrees import degrees_of
    from core.conditioning.loads.kept_loads import loads_of
    from tui.text.chamber import load_lines, title
    from tui.text.load_plain import load_json

    book = opened(given)
    now = moment(given.at, book.shelf) or book.now().astimezone(book.shelf.studio.zone)
    _chamber_behind(book.shelf, given)
    if given.worked:
        return _worked(book.shelf, json=given.json)
    if given.list:
        states = [load_state(book.shelf, key, now) for key in loads_of(book.shelf)]
        if given.json:
            print_json([load_json(state) for state in states])
        else:
            print_lines(title(state, now) for state in states)
        return 0
    still = ahead(now, book.now()) if _tells(given) else ""
    if still and not given.because:
        raise Refused(f"--at {given.at} is {still}: what has not happened counts with --because WHY only")
    before = book.shelf
    key = _act(book, given, now)
    if book.shelf is not before:  # what was told afterwards is over: how the load stands is asked of today
        now = max(now, book.now().astimezone(book.shelf.studio.zone))
    if given.print is not None:
        from pathlib import Path

        print_lines(str(path) for path in book.papers.logs(Path(given.print).expanduser(), loads=[key]))
        return 0
    state = load_state(book.shelf, key, now)
    if given.json:
        print_json(load_json(state))
    else:
        rows = load_lines(book.shelf, state, now, degrees_of(book.shelf))
        print_lines(text if role == "head" else f"  {text}" for role, text, _ in rows)
    return 0


def _chamber_behind(shelf: Shelf, given: argparse.Namespace) -> None:
    """``--out R-001 R-002 C1``: what is named last is the chamber, where it is one."""
    if given.out and not given.chamber and shelf.studio.chamber(given.out[-1]) is not None:
        given.chamber = given.out.pop()


def _tells(given: argparse.Namespace) -> bool:
    """True where the command line tells a touch, a reading, an end, or that it goes on: none lies ahead.

    No bell rings for what is told to be over, and no reading that is still to come mends one that was read.
    """
    told = (given.out, given.broken_off, given.read, given.empty_run)
    return given.turned or given.go_on or any(one is not None for one in told)


def _act(book: Workbook, given: argparse.Namespace, now: datetime) -> str:
    """Does one thing to the shelf; the key of the load that it was about."""
    from core.conditioning import on_shelf
    from core.conditioning.loads.degrees import degrees_of
    from core.evening.playing.again import ran
    from core.evening.warming.load_began import began
    from core.evening.warming.load_broken import break_off, go_on, told_of_going_on
    from tui.reading_typed import read_reading, read_weight
    from tui.said import say

    if given.empty_run is not None:
        return _empty_run(book, given, now)
    key = _which(book.shelf, given)
    degrees = degrees_of(book.shelf)
    try:
        if given.read is not None:
            celsius, place = read_reading(given.read, degrees)
            book.change(
                lambda s: on_shelf.log_reading(s, key, now, celsius, place), what=f"temperature {key}", at=now
            )
        elif given.weigh is not None:
            reel, grams = given.weigh[0], read_weight(given.weigh[1])
            told = {"after_g" if not book.shelf.reel(reel).chamber else "before_g": grams}
            book.change(
                lambda s: on_shelf.log_weights(s, key, reel, **told), what=f"weight of {reel}", at=now
            )
    except ValueError as error:
        raise Unusable(f"wants {error}") from None
    if given.turned:
        _touched(book, key, now, given.because)
    elif given.out is not None:
        _taken_out(book, given, now)
    elif given.broken_off is not None:
        book.change(lambda s: break_off(s, key, now, given.broken_off), what=f"{key} broken off", at=now)
    elif given.go_on:
        before = book.shelf
        why = given.because or ""
        book.change(lambda s: go_on(s, key, now, why), what=f"{key} goes on", because=why, at=now)
        for line in told_of_going_on(before, key, now):
            say(line)
    elif given.began is not None:
        since = moment(given.began, book.shelf, "--began") or now
        book.change(lambda s: began(s, key, since, book.now()), what=f"{key} began {since:%H:%M}", at=now)
    elif given.ran is not None:
        reel, how = given.ran
        book.change(lambda s: ran(s, reel, how, now), what=f"how {reel} ran", at=now)
    return key


def _taken_out(book: Workbook, given: argparse.Namespace, now: datetime) -> None:
    """Tapes come out; asked about where their hours are up in minutes."""
    from core.evening.warming.take_out import all_out, nearly_up, not_before_it_went_in

    if given.at is not None:
        not_before_it_went_in(book.shelf, given.out, now)
    nearly = "" if given.because else nearly_up(book.shelf, given.out, now)
    if nearly:
        raise Refused(f"{nearly}: leave it in till then (--because takes it out all the same)")
    what, why = f"{', '.join(given.out)} taken out", given.because or ""
    book.change(lambda s: all_out(s, given.out, now), what=what, because=why, at=now)


def _empty_run(book: Workbook, given: argparse.Namespace, now: datetime) -> str:
    from core.conditioning.loads.degrees import degrees_of
    from core.conditioning.loads.kept_loads import load_key
    from core.conditioning.on_shelf import log_trial
    from tui.reading_typed import read_set_point

    chambers, treatments = book.shelf.studio.chambers, book.shelf.studio.treatments
    name = given.chamber or (chambers[0].id if len(chambers) == 1 else "")
    if not name:
        raise Unusable("name the chamber: reelturn chamber C1 --empty-run")
    usual = f"{float(treatments[0].temperature.number)} C" if treatments else ""
    try:
        celsius = read_set_point(given.empty_run or usual, degrees_of(book.shelf))
    except ValueError as error:
        raise Unusable(f"--empty-run wants {error}") from None
    book.change(lambda s: log_trial(s, name, now, celsius), what=f"empty run of {name}", at=now)
    return load_key(name, now)


def _touched(book: Workbook, key: str, now: datetime, because: str | None) -> None:
    from core.conditioning.loads.limits import NOT_TREATED, early_by
    from core.evening.tonight.steps import finish_step
    from tui.board.chamber import next_touches

    chamber = key.partition(" ")[0]
    coming = (one for one in next_touches(book.shelf, now) if not one.urgent)
    touch = next((one for one in coming if key.startswith(f"{one.chamber} ")), None)
    if touch is None:
        raise Refused(f"nothing is due in chamber {chamber}")
    out = touch.do == "take out"
    early = early_by(touch.due, now, out=out)
    if early is not None and not because:
        raise Refused(
            f"the next in {chamber} is to {touch.do} {', '.join(touch.reels)} at {touch.due:%H:%M}, in "
            f"{hours_text(early)}{NOT_TREATED if out else ''}: with --because WHY it counts as done now"
        )
    step, what = touch.step(now), f"{touch.do} chamber {touch.chamber}"
    book.change(lambda s: finish_step(s, step, now, because or ""), what=what, because=because or "", at=now)


def _which(shelf: Shelf, given: argparse.Namespace) -> str:
    from core.conditioning.load_state import newest_load
    from core.conditioning.loads.kept_loads import loads_of

    if given.chamber and shelf.studio.chamber(given.chamber) is None:
        known = ", ".join(one.id for one in shelf.studio.chambers) or "none"
        raise Refused(f"no chamber {given.chamber!r} in this studio (there: {known})")
    if given.load is None:
        key = newest_load(shelf, given.chamber)
        if key is None:
            raise Refused("nothing was loaded yet: reelturn load CHAMBER REEL... starts a load")
        return key
    began = moment(given.load, shelf, "--load")
    loads = loads_of(shelf).items()
    fitting = [key for key, log in loads if log.at == began and given.chamber in ("", log.chamber)]
    if not fitting:
        raise Refused(f"no load began at {given.load}: reelturn chamber --list names them all")
    return fitting[0]


def _worked(shelf: Shelf, *, json: bool) -> int:
    from core.conditioning.on_shelf import worked
    from tui.text.sourced import worked_words

    rows = worked(shelf)
    if json:
        names = ("stock", "celsius", "clean_heads", "some_shed", "stopped")
        print_json(
            [
                {name: getattr(row, name) for name in names}
                | {"hours": float(row.hours) if row.hours is not None else None}
                for row in rows
            ]
        )
    else:
        print_lines(worked_words(rows).split("\n"))
    return 0
