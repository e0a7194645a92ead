"""A pass's notes along the length of the tape, on one line."""

from __future__ import annotations

from collections.abc import Iterable

from core.clock import clock_text
from core.logbook.passes import TapeNote
from tui.safe_text import fit

#: One letter a kind; the page of keys tells which digit gives which.
LETTERS = {
    "dropout": "d",
    "squeal": "q",
    "splice": "s",
    "print-through": "p",
    "noise": "n",
    "song start": "[",
    "song end": "]",
    "other": "o",
}


def strip(
    notes: Iterable[TapeNote], position: float, total: float, width: int, *, plain: bool = False
) -> str:
    """``0:00 ===d====s===>------- 33:20``: what has run, what was noted, where the tape is."""
    end = f" {clock_text(int(total))} "
    head = "   0:00 "
    room = width - len(head) - len(end)
    if room < 10 or total <= 0:
        return fit("", width)
    ran, rest = ("=", "-") if plain else ("━", "─")
    here = _column(position, total, room)
    line = [ran if column < here else rest for column in range(room)]
    line[here] = ">"
    for note in notes:
        line[_column(note.seconds, total, room)] = LETTERS.get(note.kind, "o")
    return fit(head + "".join(line) + end, width)


def _column(seconds: float, total: float, room: int) -> int:
    return max(0, min(room - 1, int(seconds / total * room)))
