"""Adds to a reel's history, lists the notes in it, takes one of them off."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from core.errors import Refused, Unusable
from core.words import day_text
from tui.commands.command import add_at, add_json, moment, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.shelf import Event
    from core.workbook.workbook import Workbook


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL")
    parser.add_argument("text", nargs="?", metavar="TEXT", help="without it the reel's notes are listed")
    add_at(parser)
    parser.add_argument(
        "--off", type=int, metavar="N", help="take the note of that number off; history keeps it"
    )
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Keeps the note, takes one off, or lists them."""
    from core.logbook.noted import noted_of

    if given.off is not None and (given.text is not None or given.at):
        raise Unusable(
            "note: --off N takes a note off, and no other is written with it: give no TEXT, no --at"
        )
    workbook = opened(given)
    if given.text is not None:
        workbook.note(given.reel, given.text, moment(given.at, workbook.shelf))
        print_lines([f"noted on {given.reel}"])
        return 0
    workbook.shelf.reel(given.reel)
    notes = noted_of(workbook.shelf, given.reel)
    if given.off is None:
        _list(given.reel, notes, json=given.json)
    else:
        _take_off(workbook, given.reel, notes, given.off)
    return 0


def _list(reel: str, notes: tuple[Event, ...], *, json: bool) -> None:
    """Every note in force with its number, the oldest first."""
    from tui.said import say

    if json:
        told = enumerate(notes, 1)
        print_json([{"n": n, "at": one.at.isoformat(), "note": one.note} for n, one in told])
        return
    if not notes:
        say(f'{reel} has no note: reelturn note {reel} "..." writes one')
    print_lines(
        f"{number:>3}  {day_text(one.at.date())} {one.at:%Y %H:%M}  {one.note}"
        for number, one in enumerate(notes, 1)
    )


def _take_off(workbook: Workbook, reel: str, notes: tuple[Event, ...], number: int) -> None:
    if not 1 <= number <= len(notes):
        there = f"its notes are 1 to {len(notes)}" if notes else "it has none"
        raise Refused(f"{reel} has no note {number}: {there} (reelturn note {reel} lists them)")
    note = notes[number - 1]
    workbook.take_note_off(note)
    print_lines([f"taken off {reel}: {note.note}"])
