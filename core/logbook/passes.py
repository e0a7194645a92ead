"""Passes of reels, kept under ``REEL n``: pieces of tape that ran, with their moments; notes dropped on them.

Places on the tape are seconds of play time from its head.
"""

from __future__ import annotations

from dataclasses import field, replace
from datetime import datetime
from fractions import Fraction
from itertools import count, takewhile
from typing import ClassVar, Literal

from core.as_json import named
from core.clock import later, minutes_between
from core.errors import Refused
from core.logbook.typed import Entries, entries, with_entry
from core.reels.box.warnings import warnings_on
from core.shelf import RecordKind, Shelf
from core.values import dataclass

PassState = Literal["running", "stopped", "done"]
#: Which reel holds the tape after a pass: the take-up reel, its own, some on each; or both are off the deck,
#: or it ran out with nobody there and lies on its deck still.
Holds = Literal["take-up", "own", "both", "off", "deck"]

NoteKind = Literal["dropout", "squeal", "splice", "print-through", "noise", "song start", "song end", "other"]
"""What is noted at a place of a pass, in the order of the digits that name it."""

#: By how much a tape that ran past its reckoned end may be longer than was thought; by our own judgement.
LATE_SECONDS, LATE_SHARE = 600.0, 0.25
_NEAR_END = 60.0
"""So near its end a tape is not stopped any more; by our own judgement."""

NOT_LOOKED = "not looked"
"""What is kept of the heads behind a squeal while nobody has looked at them."""


def for_a_squeal(why: str) -> bool:
    """True where the reason for which a tape was stopped is its squeal: then the heads are asked about."""
    return any(one.sign == "squeal" for one in warnings_on(why))


@dataclass(frozen=True, slots=True)
class Piece:
    """One run of the tape: where and when it started and, once it has stopped, where, when and why."""

    start: float = field(metadata=named("from"))
    started: datetime
    to: float | None = None
    stopped: datetime | None = None
    why: str = ""
    heads: str = field(default="", metadata=named(quiet=True))
    """What a dry swab showed on the heads behind a squeal, or that nobody has looked; empty of any other."""

    @property
    def unseen(self) -> bool:
        """True of one that was stopped squealing, while nobody has looked what lies on the heads."""
        return self.heads == NOT_LOOKED or (not self.heads and for_a_squeal(self.why))

    def position_at(self, moment: datetime) -> float:
        """Where the tape is at that moment: where it stopped, else as far as it has run by then."""
        if self.to is not None:
            return self.to
        return self.start + max(0.0, float(minutes_between(self.started, moment)) * 60)

    def running(self) -> Piece:
        """The run as if it went on."""
        return replace(self, to=None, stopped=None)

    def halted(self, to: float, at: datetime, why: str) -> Piece:
        """The run with its end."""
        return replace(self, to=to, stopped=at, why=why)


@dataclass(frozen=True, slots=True)
class PlayedPass:
    """One pass of a reel, of its part ``segment``, or of one ``span`` for a reason of its own.

    ``total`` is how long the whole tape was reckoned to be, and ``total_was`` before it was heard otherwise.
    A pass that is ``void`` is kept, but its tape is to be played again. One that ran ``backwards`` counts its
    places from the tape's tail; once it is done its notes lie at their true places. ``again`` is the second
    from which a pass is due once more, what ran before being kept: its tape is wound to there, and
    ``clean_every`` is how many minutes it runs before its path is cleaned, none unless asked for.
    """

    kept_as: ClassVar[RecordKind] = "pass"

    reel: str
    number: int = field(metadata=named("pass"))
    state: PassState
    total: float
    pieces: tuple[Piece, ...]
    span: tuple[float, float] | None = None
    because: str = ""
    segment: str = ""
    void: str = ""
    holds: Holds = "take-up"
    by_paper: bool = field(default=False, metadata=named("by paper"))
    total_was: float | None = None
    backwards: bool = False
    again: float | None = None
    clean_every: int = 0

    @property
    def last(self) -> Piece:
        """The newest piece."""
        return self.pieces[-1]

    @property
    def ends(self) -> float:
        """Where on the tape the pass comes to its end."""
        return self.span[1] if self.span else self.total

    @property
    def alone(self) -> bool:
        """True for one span played for a reason of its own: it transfers nothing."""
        return self.span is not None and not self.segment

    @property
    def to_clean(self) -> tuple[float, ...]:
        """Where on the tape it is stopped to clean its path, from where it goes on; nothing unless asked."""
        begins = self.last.start if self.again is None else self.again
        stops = count(begins + 60 * self.clean_every, 60 * self.clean_every) if self.clean_every else ()
        return tuple(takewhile(lambda at: at < self.ends - _NEAR_END, stops))

    def position_at(self, moment: datetime) -> float:
        """Where the tape is at that moment, or goes on."""
        return self.last.position_at(moment) if self.again is None else self.again

    @property
    def due(self) -> datetime | None:
        """When it ends if it runs on since its newest start; None where its length is not known."""
        seconds = self.ends - self.last.start
        return later(self.last.started, minutes=Fraction(round(seconds), 60)) if seconds > 0 else None

    def ran_out(self, at: datetime) -> datetime | None:
        """When it ran out by its length, where that is so long before ``at`` that it was unseen; else None.

        A tape that is longer than was reckoned plays on: ten minutes and a quarter of it are left for that.
        """
        if self.state != "running" or self.due is None:
            return None
        late = float(minutes_between(self.due, at)) * 60
        return self.due if late > max(LATE_SECONDS, (self.ends - self.last.start) * LATE_SHARE) else None

    def with_last(self, piece: Piece) -> PlayedPass:
        """The pass with another newest piece in its place."""
        return replace(self, pieces=(*self.pieces[:-1], piece))

    def with_piece(self, piece: Piece) -> PlayedPass:
        """The pass with one piece more."""
        return replace(self, pieces=(*self.pieces, piece))


@dataclass(frozen=True, slots=True)
class TapeNote:
    """What was noted at a place of the pass ``number`` while it ran, kept under ``REEL n k``."""

    kept_as: ClassVar[RecordKind] = "timed note"

    reel: str
    number: int = field(metadata=named("pass"))
    at: datetime
    seconds: float
    kind: NoteKind = field(metadata=named(as_told=True))
    words: str = ""

    @property
    def told(self) -> str:
        """Its kind and its words: ``dropout left channel``."""
        return " ".join(word for word in (self.kind, self.words) if word)


def pass_key(reel: str, number: int) -> str:
    """What a pass is kept under."""
    return f"{reel} {number}"


def played(shelf: Shelf) -> Entries[PlayedPass]:
    """Every pass that was ever begun, void ones too, by key."""
    return entries(shelf, PlayedPass)


def played_of(shelf: Shelf, reel: str) -> tuple[PlayedPass, ...]:
    """The passes of that reel that count."""
    return tuple(one for one in played(shelf).values() if one.reel == reel and not one.void)


def noted(shelf: Shelf) -> Entries[TapeNote]:
    """Every note dropped on a pass, by key."""
    return entries(shelf, TapeNote)


def with_note(shelf: Shelf, note: TapeNote) -> Shelf:
    """The shelf with one note more on its pass."""
    key = pass_key(note.reel, note.number)
    mine = (int(one.rsplit(" ", 1)[1]) for one in noted(shelf) if one.startswith(f"{key} "))
    return with_entry(shelf, f"{key} {1 + max(mine, default=0)}", note)


def without_note(shelf: Shelf, note_key: str) -> Shelf:
    """The shelf with that note off its pass; history tells that it was there. Refused where there is none."""
    if note_key not in noted(shelf):
        raise Refused(f"no timed note {note_key!r} any more")
    return shelf.with_record(TapeNote.kept_as, note_key, None)
