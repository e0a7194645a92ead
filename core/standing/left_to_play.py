"""What of a tape is still to be played: its transfers, and the passes of each that are not done yet.

A tape with parts of its own has a transfer for each part; any other has one, the whole of it. Every transfer
takes as many passes as its tracks want. Which passes are done, and where the tape stands in one that was
stopped, is told by the passes in the logbook; a shelf without any has everything still to be played.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

from core.clock import clock_text
from core.logbook.passes import PlayedPass, pass_key, played
from core.quantities import Quantity, plain
from core.reels.assumed import with_setup
from core.reels.minutes import Left, passes
from core.reels.reel import Reel, Segment
from core.shelf import Shelf
from core.studio.setup import speed_key
from core.studio.studio import Studio
from core.values import dataclass

BACK_SECONDS = 10.0  # common practice: an overlap that a check can join by sound


@dataclass(frozen=True, slots=True)
class Transfer:
    """One transfer of a tape.

    ``reel`` is the tape as long as the part and with the part's set-up, its blanks as the studio assumes them
    (``told``: as the shelf tells it); ``span`` the part in seconds of play
    time, None for the whole tape; ``numbers`` the numbers of its passes and ``done`` those that are over;
    ``begun`` those that run, were stopped, or are due once more from some minute on.
    """

    name: str
    reel: Reel
    told: Reel
    span: tuple[Fraction, Fraction] | None
    numbers: tuple[int, ...]
    done: tuple[int, ...] = ()
    begun: tuple[PlayedPass, ...] = ()

    @property
    def left(self) -> tuple[int, ...]:
        """The numbers of the passes still to be played to their end."""
        return tuple(number for number in self.numbers if number not in self.done)

    @property
    def stands(self) -> PlayedPass | None:
        """The pass that runs, was stopped, or is due once more: the first of them."""
        return next(iter(self.begun), None)

    @property
    def again(self) -> float | None:
        """The second from which the next pass is due once more; None for any other pass."""
        return self.stands.again if self.stands is not None else None

    def to_run(self, at: datetime) -> Fraction | None:
        """Seconds of tape still to run in the pass that stands at that moment; None where none was begun."""
        if self.stands is None:
            return None
        return _to_run(self.stands, at)

    def left_to_run(self, whole: Fraction, at: datetime) -> Left | None:
        """What is left of passes that were begun, and of those behind them; None where none was begun."""
        if self.stands is None:
            return None
        each = tuple(self.passes_left(whole, at))
        played = sum((one.runs for one in each), start=Fraction(0))
        wound = sum((one.wound for one in each), start=Fraction(0))
        return Left(played, wound, sum(len(one.begun.to_clean) for one in each if one.begun is not None))

    def passes_left(self, whole: Fraction, at: datetime) -> Iterator[PassLeft]:
        """Every pass that is left; ``whole`` is how long one plays.

        A tape that stands is not wound; one that is due once more is wound to there, from tail or head.
        """
        begun = {one.number: one for one in self.begun}
        head = self.span[0] if self.span else Fraction(0)
        lies = whole if self.told.tails else Fraction(0)
        for number in self.left:
            one = begun.get(number)
            runs = whole if one is None else _to_run(one, at)
            starts = Fraction(0) if one is None else _exact(one.ends) - head - runs
            wound = abs(lies - starts) if one is None or one.again is not None else Fraction(0)
            yield PassLeft(number, wound, runs, one)
            lies = whole


class PassLeft(NamedTuple):
    """A pass that is left: seconds of tape to wind before it and to play, and what was begun of it."""

    number: int
    wound: Fraction
    runs: Fraction
    begun: PlayedPass | None


def _to_run(stands: PlayedPass, at: datetime) -> Fraction:
    """Seconds of tape still to run in a pass that was begun; one that was stopped is backed up a little."""
    backed = BACK_SECONDS if stands.state == "stopped" and stands.again is None else 0.0
    position = stands.position_at(at) - backed
    return _exact(max(0.0, stands.ends - max(stands.span[0] if stands.span else 0.0, position)))


def _exact(seconds: float) -> Fraction:
    return Fraction(round(seconds * 10), 10)


def transfers(shelf: Shelf, reel: Reel) -> tuple[Transfer, ...]:
    """Every transfer of that tape with what of it is done."""
    segments: tuple[Segment | None, ...] = shelf.segments_of(reel.key) or (None,)
    each = _passes(reel, shelf.studio)
    out = []
    for place, segment in enumerate(segments):
        numbers = tuple(range(place * each + 1, (place + 1) * each + 1))
        begun = {n: one for n in numbers if (one := _played(shelf, reel.key, n, segment)) is not None}
        done = tuple(n for n, one in begun.items() if one.state == "done")
        waits = tuple(one for one in begun.values() if one.state != "done")
        span = (segment.start, segment.end) if segment else None
        part = part_reel(reel, segment) if segment else reel
        planned = with_setup(part, shelf.studio)
        out.append(Transfer(part_name(segment), planned, part, span, numbers, done, waits))
    return tuple(out)


def to_play(shelf: Shelf, reel: Reel) -> tuple[Transfer, ...]:
    """The transfers of that tape that have passes left.

    Where the records tell that all was played, and the reel still waits, they are of an earlier time: then
    everything is to be played again.
    """
    every = transfers(shelf, reel)
    return tuple(one for one in every if one.left) or tuple(replace(one, done=()) for one in every)


def transfer_named(shelf: Shelf, reel: Reel, name: str) -> Transfer:
    """The transfer of that name; the whole tape, or the first part, where there is none of that name."""
    every = transfers(shelf, reel)
    return next((one for one in every if one.name == name), every[0])


def part_name(segment: Segment | None) -> str:
    """What a transfer is called: nothing for a whole tape, else the part's title or place."""
    if segment is None:
        return ""
    return segment.title or f"{clock_text(segment.start)}-{clock_text(segment.end)}"


def part_reel(reel: Reel, segment: Segment) -> Reel:
    """A tape that is as long as the part and wants its set-up, blanks filled from the reel's own."""
    setup = segment.setup
    speed = setup.speed or reel.speed
    inches = (segment.end - segment.start) * (speed_key(speed) or Fraction(0))
    return replace(
        reel,
        speed=speed,
        eq=setup.eq or reel.eq,
        level=setup.level or reel.level,
        noise_reduction=setup.noise_reduction or reel.noise_reduction,
        length=Quantity(f"{plain(inches)} in", inches),
    )


def _passes(reel: Reel, studio: Studio) -> int:
    """How many passes a transfer takes; one where nothing tells, which the planner's own rules bar."""
    try:
        return max(1, passes(reel.tracks or 1, studio))
    except (ValueError, ZeroDivisionError):
        return 1


def _played(shelf: Shelf, key: str, number: int, segment: Segment | None) -> PlayedPass | None:
    """That pass, where it is of that part; one span played for a reason of its own is none."""
    found = played(shelf).get(pass_key(key, number))
    if found is None:
        return None
    if segment is None:
        return None if found.span else found
    span = (float(segment.start), float(segment.end))
    mine = found.segment == part_name(segment) or (found.segment and found.span == span)
    return found if mine else None
