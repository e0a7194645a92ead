"""The rows of a transfer log as they are typed in later: when, each run of the tape, notes, what holds it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime, tzinfo
from typing import cast

from core.clock import clock_seconds
from core.evening.afterwards.by_paper import kind_and_words
from core.evening.afterwards.paper_log import PaperLog, PaperNote, PaperPiece
from core.evening.answers import ON_HEADS, Cause
from core.evening.playing.passes import NOTE_KINDS, STOPPED_FOR
from core.logbook.passes import Holds
from core.values import dataclass
from tui.places.tonight.times import start_and_end

BACKWARDS = "backwards"
HOLDS = ("take-up", "own", "both")
HEADS = ", ".join(f"{number} {told.partition(':')[0]}" for number, told in enumerate(ON_HEADS.values(), 1))
REASONS = ", ".join(f"{number} {told}" for number, told in enumerate(STOPPED_FOR, 1))
KINDS = ", ".join(f"{number} {kind}" for number, kind in enumerate(NOTE_KINDS[:3], 1)) + " ..."
_A_PLACE = re.compile(r"\d{1,2}:\d{2}(:\d{2})?|\d{3,4}")
HELD_BY = ", ".join(f"{number} {word}" for number, word in enumerate(HOLDS, 1))


@dataclass(frozen=True, slots=True)
class PaperRows:
    """What reads the rows of a log: the evening's date, the studio's zone, now, the passes that are left."""

    day: date
    where: tzinfo
    now: datetime
    numbers: tuple[int, ...]

    def times(self, text: str) -> tuple[datetime | None, datetime]:
        """``19:05-19:40``, or the end alone; ValueError with what would be right."""
        return start_and_end(text, self.day, self.where, self.now)

    def piece(self, number: int, text: str) -> PaperPiece:
        """``19:05-19:20 to 12:31 clean heads``, ``19:05-19:38 backwards``; ValueError with what is right.

        ``1905-20 1231 1`` is as much: the place at which it stopped without its word, the reason as a digit.
        """
        words = text.split()
        began, ended = self.times(words[0])
        if began is None:
            raise ValueError("when it began and ended, such as 1905-1938 or 1905-38")
        backwards = len(words) > 1 and words[1].casefold() == BACKWARDS
        start, rest = _place("from", words[1 + backwards :])
        stop, rest = _place("to", rest)
        if stop is None and rest and _A_PLACE.fullmatch(rest[0]):
            stop, rest = _seconds(rest[0]), rest[1:]
        why = _why(" ".join(rest))
        if re.search(r"\d{1,2}:?\d{2}\s*-\s*\d{1,2}:?\d{2}", why):
            raise ValueError("a ; before the next run of the tape, or its row below")
        return PaperPiece(number, began, ended, start, stop, why, backwards)

    def pieces(self, number: int, text: str) -> list[PaperPiece]:
        """Runs of one line, ``;`` between them as between notes; where the tape went on has a row too."""
        return [self.piece(number, one) for one in text.split(";") if one.strip()] or [
            self.piece(number, text)
        ]

    def notes(self, text: str) -> list[PaperNote]:
        """Notes of one line, ``;`` between them."""
        return [self.note(one) for one in text.split(";") if one.strip()]

    def note(self, text: str) -> PaperNote:
        """``12:31 dropout left channel``; ``2/`` before it is the second pass, a digit names the kind."""
        number, slash, rest = text.partition("/")
        words = (rest if slash else text).split()
        if slash and not number.strip().isdigit():
            raise ValueError("the pass, then the tape time: 2/ 12:31 dropout")
        if not words:
            raise ValueError("the tape time, then the kind: 12:31 dropout left channel")
        seconds = _seconds(words[0])
        kind, said = kind_and_words(" ".join(words[1:]))
        place = int(number) if slash else self.numbers[0]
        if place not in self.numbers:
            raise ValueError(f"a pass that is in this log: {', '.join(map(str, self.numbers))}")
        return PaperNote(place, seconds, kind, said)

    def log(self, values: Mapping[str, str]) -> PaperLog:
        """The whole log; rows that are empty tell nothing."""
        runs: list[PaperPiece] = []
        for name, text in values.items():
            if name.startswith("run ") and text.strip():
                runs += self.pieces(int(name.split()[1]), text)
        told = (text for name, text in values.items() if name.startswith("note") and text.strip())
        notes = [note for text in told for note in self.notes(text)]
        held = cast(Holds, holds(values.get("holds", "")))
        return PaperLog(tuple(runs), tuple(notes), held, on_heads(values.get("heads", "")))


def holds(text: str) -> str:
    """Which reel holds the tape, by its word, the first letters of it or its digit; ValueError for another.

    The take-up where nothing is said.
    """
    typed = text.strip().casefold() or HOLDS[0]
    named = [one for number, one in enumerate(HOLDS, 1) if one.startswith(typed) or typed == str(number)]
    if not named:
        raise ValueError(HELD_BY)
    return named[0]


def on_heads(text: str) -> Cause:
    """What lay on the heads, by the digit or the first letters of what is asked; ValueError for another.

    Nobody has looked where nothing is said.
    """
    typed = text.strip().casefold()
    for number, (cause, told) in enumerate(ON_HEADS.items(), 1):
        if typed == str(number) or (typed and told.startswith(typed)):
            return cause
    if typed:
        raise ValueError(HEADS)
    return "not looked"


def _why(text: str) -> str:
    """Why a tape was stopped: a digit alone is that of the list that is asked at the tape."""
    known = text.isdigit() and 1 <= int(text) <= len(STOPPED_FOR)
    return STOPPED_FOR[int(text) - 1] if known else text


def _place(word: str, words: Sequence[str]) -> tuple[float | None, Sequence[str]]:
    if not words or words[0].casefold() != word:
        return None, words
    if len(words) < 2:
        raise ValueError(f"a tape time after {word}, such as {word} 12:31")
    return _seconds(words[1]), words[2:]


def _seconds(text: str) -> float:
    plain = f"{text[:-2]}:{text[-2:]}" if text.isdigit() and 3 <= len(text) <= 4 else text
    try:
        return float(clock_seconds(plain))
    except ValueError as error:
        raise ValueError(f"a tape time such as 12:31, not {text}") from error
