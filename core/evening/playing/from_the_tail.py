"""What a pass told that ran from the tape's tail, put right once it is done: its notes lie at true places."""

from __future__ import annotations

from dataclasses import replace

from core.logbook.passes import NoteKind, PlayedPass, TapeNote, noted, pass_key, played, played_of
from core.logbook.typed import with_entry
from core.shelf import Shelf

_OTHER: dict[NoteKind, NoteKind] = {"song start": "song end", "song end": "song start"}


def notes_turned(shelf: Shelf, done: PlayedPass) -> Shelf:
    """The shelf with the notes of a pass that ran backwards at their places from the tape's head.

    The pass is done, so that its true length is known. Where songs' starts and ends were noted by ear, what
    sounded first is the song's end: starts and ends change places.
    """
    mine = [(key, note) for key, note in noted(shelf).items() if _of(note, done)]
    heard = [note.kind for _, note in sorted(mine, key=lambda one: one[1].seconds)]
    first = next((kind for kind in heard if kind in _OTHER), None)
    length = done.last.to or done.total
    for key, note in mine:
        kind = _OTHER.get(note.kind, note.kind) if first == "song start" else note.kind
        there = round(max(0.0, length - note.seconds), 1)
        shelf = with_entry(shelf, key, replace(note, seconds=there, kind=kind))
    return shelf


def key_came_late(shelf: Shelf, reel: str, number: int) -> Shelf:
    """The shelf with a pass from the tail over at its reckoned length, since its end was told too late.

    Its places were counted back from where it was told to end: by as much they lie nearer to the head.
    """
    done = played(shelf).get(pass_key(reel, number))
    if done is None or not done.backwards or done.state != "done" or done.last.to is None or done.total <= 0:
        return shelf
    over = done.last.to - done.total
    for key, note in noted(shelf).items():
        if _of(note, done):
            there = round(max(0.0, note.seconds - over), 1)
            shelf = with_entry(shelf, key, replace(note, seconds=there))
    pieces = (*done.pieces[:-1], replace(done.last, to=done.total))
    return with_entry(shelf, pass_key(reel, number), replace(done, pieces=pieces))


def lies_after(shelf: Shelf, reel: str) -> str:
    """How a tape lies after its newest pass: heads out where that ran backwards, else tails out."""
    done = [one for one in played_of(shelf, reel) if one.state == "done"]
    newest = max(done, key=lambda one: one.last.started, default=None)
    return "heads" if newest is not None and newest.backwards else "tails"


def _of(note: TapeNote, done: PlayedPass) -> bool:
    return (note.reel, note.number) == (done.reel, done.number) and note.at >= done.pieces[0].started
