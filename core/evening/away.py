"""Nobody watched for some minutes, as in a power failure: what the tape and the chamber did meanwhile."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Literal, NamedTuple

from core.clock import minutes_between
from core.errors import Refused
from core.evening.warming.load_broken import as_they_lay, break_off
from core.logbook.passes import PassState, Piece, PlayedPass, noted, played
from core.logbook.typed import with_entry
from core.shelf import Shelf

#: The tape ran on; it stopped and stands (until it was stopped by hand); it stopped and runs again.
Ran = Literal["ran on", "stands", "runs again"]

#: A stop whose place differs by more than this from what the clock tells was read off the tape's counter.
_READ_OFF_SECONDS = 2.0


class RanThen(NamedTuple):
    """A pass that is not over, and which of its pieces ran at some moment."""

    key: str
    kept: PlayedPass
    number: int

    @property
    def piece(self) -> Piece:
        """The piece that ran then."""
        return self.kept.pieces[self.number]

    def place(self, at: datetime) -> float:
        """Where the tape was at that moment, by the clock."""
        by_clock = self.piece.running().position_at(at)
        return by_clock if self.piece.to is None else min(by_clock, self.piece.to)


def ran_then(shelf: Shelf, at: datetime) -> RanThen | None:
    """The pass that ran at that moment, also where it was stopped or went on since; None where none did."""
    for key, one in played(shelf).items():
        for number, piece in enumerate(one.pieces):
            open_ = not one.void and one.state != "done"
            if open_ and piece.started <= at and (piece.stopped is None or at < piece.stopped):
                return RanThen(key, one, number)
    return None


def ran_at_least(shelf: Shelf, reel: str, number: int, since: datetime) -> datetime:
    """Until when that pass ran for sure: somebody saw it then, or the last note dropped behind that."""
    dropped = (one.at for one in noted(shelf).values() if (one.reel, one.number) == (reel, number))
    return max((since, *dropped))


def was_away(
    shelf: Shelf, key: str, left: datetime, back: datetime, ran: Ran, place: float | None = None
) -> Shelf:
    """The shelf with what the tape of that pass did from ``left`` to ``back``.

    All later places on it follow, those of its notes and of later pieces too. ``place`` is where it stopped,
    where that is known better than by the clock.
    """
    if back < left:
        raise Refused("back before leaving")
    then = ran_then(shelf, left)
    if then is None or then.key != key:
        raise Refused(f"pass {key} did not run then")
    if ran == "ran on":
        return shelf
    stood = then.place(left) if place is None else place
    halted = replace(then.piece.halted(round(stood, 1), left, "power"))
    again = _again(then.piece, halted, back) if ran == "runs again" else None
    newest = again or halted
    lost = (then.piece.to - newest.to) if then.piece.to is not None and newest.to is not None else 0.0
    after = tuple(_moved(one, lost) for one in then.kept.pieces[then.number + 1 :])
    pieces = (*then.kept.pieces[: then.number], halted, *((again,) if again else ()), *after)
    state: PassState = "running" if pieces[-1].to is None else "stopped"
    shelf = _notes_moved(shelf, then, halted, again, lost)
    return with_entry(shelf, key, replace(then.kept, pieces=pieces, state=state))


def _again(piece: Piece, halted: Piece, back: datetime) -> Piece | None:
    """The rest of a piece that stood and ran again from ``back``; None where it was stopped before that."""
    start = halted.to or 0.0
    if piece.stopped is None or piece.to is None:
        return Piece(start, back)
    if piece.stopped <= back:
        return None
    by_clock = piece.running().position_at(piece.stopped)
    read_off = abs(piece.to - by_clock) > _READ_OFF_SECONDS
    to = piece.to if read_off else start + float(minutes_between(back, piece.stopped)) * 60
    return replace(piece, start=start, started=back, to=round(max(start, to), 1))


def _moved(piece: Piece, lost: float) -> Piece:
    """A later piece, by that much nearer to the tape's head."""
    to = None if piece.to is None else round(max(0.0, piece.to - lost), 1)
    return replace(piece, start=round(max(0.0, piece.start - lost), 1), to=to)


def _notes_moved(shelf: Shelf, then: RanThen, halted: Piece, again: Piece | None, lost: float) -> Shelf:
    """The shelf with the notes of that pass that were dropped since at the places where the tape was then."""
    for name, note in noted(shelf).items():
        if (
            note.reel != then.kept.reel
            or note.number != then.kept.number
            or note.at <= (halted.stopped or note.at)
        ):
            continue
        end = then.piece.stopped
        if end is not None and note.at >= end:
            seconds = note.seconds - lost
        else:
            runs = again is not None and note.at > again.started
            seconds = again.running().position_at(note.at) if runs and again else halted.to or 0.0
        shelf = with_entry(shelf, name, replace(note, seconds=round(max(0.0, seconds), 1)))
    return shelf


def without_heat(shelf: Shelf, load: str, left: datetime, back: datetime, why: str = "power") -> Shelf:
    """The shelf with that load off from ``left`` to ``back``, and on again: its hours count on from there.

    Refused where it had cooled by then: it gets its whole hours, as a new load.
    """
    return as_they_lay(break_off(shelf, load, left, why), load, back)
