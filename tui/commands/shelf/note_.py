"""Adds to a reel's history, lists the notes in it, takes one of them off."""

from __future__ import annotations

import argparse
from datetime import datetime
from typing import TYPE_CHECKING

from core.clock import clock_text
from core.errors import Refused, Unusable
from core.values import dataclass
from core.words import day_text
from tui.commands.command import add_at, add_json, moment, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.shelf import Event, Shelf
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
    if given.off is not None and (given.text is not None or given.at):
        raise Unusable("note: with --off N one is taken off and none is written: give no TEXT, no --at")
    workbook = opened(given)
    if given.text is not None:
        workbook.note(given.reel, given.text, moment(given.at, workbook.shelf))
        print_lines([f"noted on {given.reel}"])
        return 0
    workbook.shelf.reel(given.reel)
    notes = _notes(workbook.shelf, given.reel)
    if given.off is None:
        _list(given.reel, notes, json=given.json)
    else:
        _take_off(workbook, given.reel, notes, given.off)
    return 0


@dataclass(frozen=True, slots=True)
class _Note:
    """One note of a reel, in its history, or timed on a pass: then with its key and its place on the tape."""

    at: datetime
    words: str
    of: Event | str
    number: int | None = None
    seconds: float | None = None

    def __str__(self) -> str:
        day = f"{day_text(self.at.date())} {self.at:%Y %H:%M}"
        if self.number is None or self.seconds is None:
            return f"{day}  {self.words}"
        return f"{day}  pass {self.number} at {clock_text(int(self.seconds))}: {self.words}"


def _notes(shelf: Shelf, reel: str) -> list[_Note]:
    """Those in its history, the oldest first, then those on its passes along the tape."""
    from core.evening.playing.passes import notes_of
    from core.logbook.noted import noted_of

    timed = notes_of(shelf, reel)
    return [
        *(_Note(one.at, one.note, one) for one in noted_of(shelf, reel)),
        *(_Note(one.at, one.told, key, one.number, one.seconds) for key, one in timed),
    ]


def _list(reel: str, notes: list[_Note], *, json: bool) -> None:
    """Every note in force with its number."""
    from tui.said import say

    if json:
        print_json([
            {"n": n, "at": one.at.isoformat(), "note": one.words, "pass": one.number, "seconds": one.seconds}
            for n, one in enumerate(notes, 1)
        ])  # fmt: skip
        return
    if not notes:
        say(f'{reel} has no note: reelturn note {reel} "..." writes one')
    print_lines(f"{number:>3}  {one}" for number, one in enumerate(notes, 1))


def _take_off(workbook: Workbook, reel: str, notes: list[_Note], number: int) -> None:
    from core.logbook.passes import without_note

    if not 1 <= number <= len(notes):
        there = f"its notes are 1 to {len(notes)}" if notes else "it has none"
        raise Refused(f"{reel} has no note {number}: {there} (reelturn note {reel} lists them)")
    note = notes[number - 1]
    if isinstance(note.of, str):
        key, what = note.of, f"take a note off {reel}, pass {note.number}"
        workbook.change(lambda shelf: without_note(shelf, key), what=what)
    else:
        workbook.take_note_off(note.of)
    print_lines([f"taken off {reel}: {note.words}"])
