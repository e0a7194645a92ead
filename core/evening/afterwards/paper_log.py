"""What the log of a pass on paper says, as values."""

from __future__ import annotations

from datetime import datetime

from core.evening.answers import Cause
from core.logbook.passes import (
    Holds,
    NoteKind,
    for_a_squeal,
)
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class PaperPiece:
    """One run of the tape as the log tells it; ``start`` and ``stop`` in seconds of play time.

    None for ``stop`` means that it ran to its end; for ``start``, from the head or from before the last stop.
    """

    number: int
    began: datetime
    ended: datetime
    start: float | None = None
    stop: float | None = None
    why: str = ""
    backwards: bool = False
    """From the tape's tail: its places, and those of its notes, count from there."""


@dataclass(frozen=True, slots=True)
class PaperNote:
    """A timed note from the log."""

    number: int
    seconds: float
    kind: NoteKind
    words: str = ""


@dataclass(frozen=True, slots=True)
class PaperLog:
    """A transfer log as it was filled in by hand; without pieces the step's own times stand for them."""

    pieces: tuple[PaperPiece, ...] = ()
    notes: tuple[PaperNote, ...] = ()
    holds: Holds = "take-up"
    heads: Cause = "not looked"
    """What lay on the heads, where a run was stopped for a squeal."""

    @property
    def squealed(self) -> bool:
        """True where one of its runs was stopped for a squeal."""
        return any(for_a_squeal(piece.why) for piece in self.pieces)


NOTHING = PaperLog()
