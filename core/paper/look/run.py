"""What runs when within a transfer: winds and passes with clock times, and the tracks of each pass."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from core.clock import clock_text, later, minutes_between
from core.plan import Item
from core.reels.length import play_seconds
from core.reels.minutes import passes, wind_speed, winds
from core.reels.needs import NONE, OwnStocks
from core.reels.pass_tracks import tracks_by_pass
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import PassLeft, Transfer, transfer_named
from core.studio.studio import Studio
from core.values import dataclass
from core.words import listed


@dataclass(frozen=True, slots=True)
class Run:
    """One run of the tape: ``wind`` or ``pass``, when by the plan, and the tracks that it carries."""

    kind: str
    start: datetime
    end: datetime
    number: int = 0
    tracks: tuple[int, ...] = ()
    stands: str = ""  # where the tape stands, for a pass that was stopped and goes on there
    again: str = ""  # from where to where it is played once more, and where it is stopped to be cleaned


def runs_of(
    item: Item, reel: Reel, studio: Studio, own: OwnStocks = NONE, part: Fraction | None = None
) -> tuple[Run, ...]:
    """The winds and passes of a transfer in their order; none where tracks, speed or deck are not known.

    ``part`` (seconds) stands in for the whole tape's play time where only a part is captured. Where the item
    has fewer passes than the tape takes, the first ones are done already.
    """
    deck, whole = studio.deck(item.deck), play_seconds(reel, studio)
    if deck is None or whole is None or reel.speed is None or not reel.tracks:
        return ()
    play = whole if part is None else part
    wind = play * reel.speed.number / wind_speed(reel, deck, own)
    carried = tracks_by_pass(reel.tracks, studio)
    every = passes(reel.tracks, studio)
    count = min(item.passes or every, every)
    at = later(item.start, minutes=studio.minutes.load)
    runs: list[Run] = []
    for number in range(every - count + 1, every + 1):
        if number > every - count + 1 or winds(reel, count) == count:
            end = later(at, minutes=wind / 60)
            runs.append(Run("wind", at, end))
            at = end
        end = later(at, minutes=play / 60)
        runs.append(Run("pass", at, end, number, carried[number - 1]))
        at = end
    return tuple(runs)


def runs_left(shelf: Shelf, item: Item, reel: Reel) -> tuple[Run, ...]:
    """The runs of a transfer as they are left: a pass that stands on its way goes on there, with no wind."""
    runs = runs_of(item, reel, shelf.studio, shelf.own_stocks(), span_of(item, shelf))
    tape = transfer_named(shelf, reel, item.segment)
    if any(one.again is not None for one in tape.begun) and runs:
        return tuple(_once_more(shelf, item, reel, tape))
    left = tape.to_run(item.start) if tape.stands is not None else None
    passes_ = [one for one in runs if one.kind == "pass"]
    if left is None or tape.stands is None or tape.stands.state != "stopped" or not passes_:
        return runs
    first, behind = passes_[0], runs[runs.index(passes_[0]) + 1 :]
    begins = later(item.start, minutes=shelf.studio.minutes.load)
    ends = later(begins, minutes=left / 60)
    sooner = minutes_between(ends, first.end)
    where = clock_text(int(tape.stands.last.to or 0.0))
    return (
        replace(first, start=begins, end=ends, stands=where),
        *(
            replace(one, start=later(one.start, minutes=-sooner), end=later(one.end, minutes=-sooner))
            for one in behind
        ),
    )


def _once_more(shelf: Shelf, item: Item, reel: Reel, tape: Transfer) -> Iterator[Run]:
    """The runs of a transfer of which passes are due once more: a wind to where each begins, the pass."""
    studio, at = shelf.studio, later(item.start, minutes=shelf.studio.minutes.load)
    deck, whole = studio.deck(item.deck), play_seconds(tape.reel, studio)
    if deck is None or whole is None or reel.speed is None or not reel.tracks:
        return
    faster = wind_speed(reel, deck, shelf.own_stocks()) / reel.speed.number
    carried = tracks_by_pass(reel.tracks, studio)
    for one in tape.passes_left(whole, item.start):
        if one.wound:
            end = later(at, minutes=one.wound / faster / 60)
            yield Run("wind", at, end, again=_from_where(one, to_wind=True))
            at = end
        stops = len(one.begun.to_clean) if one.begun is not None else 0
        end = later(at, minutes=one.runs / 60 + stops * studio.minutes.clean)
        place = tape.numbers.index(one.number)
        yield Run("pass", at, end, place + 1, carried[min(place, len(carried) - 1)], again=_from_where(one))
        at = end


def _from_where(one: PassLeft, *, to_wind: bool = False) -> str:
    """``from 12:20 to the end, stop and clean at 17:20``; of its wind ``to 12:20``."""
    if one.begun is None or one.begun.again is None:
        return ""
    where = clock_text(int(one.begun.again))
    if to_wind:
        return f"to {where}"
    stops = listed([clock_text(int(at)) for at in one.begun.to_clean])
    return f"from {where} to the end, as a file of its own" + (
        f", stop and clean at {stops}" if stops else ""
    )


def span_of(item: Item, shelf: Shelf) -> Fraction | None:
    """Seconds of play time of the part that a transfer takes; None for the whole tape."""
    for part in shelf.segments_of(item.reel):
        if item.segment and item.segment == (
            part.title or f"{clock_text(part.start)}-{clock_text(part.end)}"
        ):
            return part.end - part.start
    return None
