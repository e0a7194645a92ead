"""Listening: the worst places and timed notes of a capture as short files, and what the ear says of them."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Refused, Unusable
from tui.commands.command import add_json, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.capture.listening import Excerpt
    from core.logbook.files import Mark
    from core.workbook.workbook import Workbook


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL")
    parser.add_argument(
        "--pass", dest="number", type=int, default=0, metavar="N", help="else the first checked"
    )
    parser.add_argument("--out", default="", metavar="DIR", help="the folder; else one beside the shelf")
    parser.add_argument("--play", action="store_true", help="play them in turn, where this system can")
    parser.add_argument("--fine", default="", metavar="NUMBERS", help="these were heard and are fine, as 1,3")
    parser.add_argument("--again", default="", metavar="NUMBERS", help="these are to be captured again")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Writes the excerpts and lists them, or writes down what was heard."""
    workbook = opened(given)
    if given.fine or given.again:
        print_lines(_answers(workbook, given))
        return 0
    found = workbook.hearing.excerpts(given.reel, given.number, Path(given.out) if given.out else None)
    if given.json:
        print_json([_told(number, one) for number, one in enumerate(found, 1)])
    else:
        print_lines(f"{one.path}  {one.place.says}" for one in found)
    if given.play:
        _play(found)
    return 0


def _told(number: int, one: Excerpt) -> dict[str, object]:
    place = one.place
    return {
        "number": number, "file": str(one.path), "kind": place.kind, "track": place.track,
        "start": place.start, "end": place.end, "begins_in_file": one.begins, "says": place.says,
    }  # fmt: skip


def _answers(workbook: Workbook, given: argparse.Namespace) -> Iterator[str]:
    """Each answer is one change of the shelf, as by key; numbers are those of the list."""
    check, places = workbook.hearing.to_hear(given.reel, given.number)
    marks: tuple[Mark, ...] = ("fine", "again")
    chosen = [(number, mark) for mark in marks for number in _numbers(getattr(given, mark), mark)]
    for number, _ in chosen:
        if not 1 <= number <= len(places):
            raise Refused(f"there is no place {number} of {given.reel}: there are 1 to {len(places)}")
    for number, mark in chosen:
        place = places[number - 1]
        workbook.captures.mark_place(given.reel, check.pass_number, place.finding, mark)
        said = "listened, fine" if mark == "fine" else "to be captured again"
        yield f"{number} {place.kind} at {place.start:.3f} s: {said}"


def _numbers(text: str, option: str) -> list[int]:
    try:
        return [int(one) for one in text.split(",") if one.strip()]
    except ValueError:
        raise Unusable(f"--{option}: {text!r} is no list of numbers such as 1,3") from None


def _play(found: tuple[Excerpt, ...]) -> None:
    from tui.said import say
    from tui.workers.playing import Player

    player = Player()
    for one in found:
        trouble = player.play(one.path)
        if trouble:
            say(f"{trouble}; any player opens the files")
            return
        say(f"{one.path.name}: {one.place.says}")
        player.wait()
