"""The gates between stages: one function that the command line, the screen and the paper all ask.

A stage is what a tape has reached. ``aligned`` is different: it is a deck's state, so it shows as done only
while a deck stands on the reel's set-up in the bench window that is open now.
"""

from __future__ import annotations

from datetime import datetime

from core.clock import evening_of, minutes_between, write_time
from core.conditioning.advisor import advice_of, advisor
from core.conditioning.hours_had import no_load, too_early
from core.conditioning.on_deck import nobody_looked
from core.conditioning.tell import test_words
from core.logbook.steps import deck_stands
from core.reels.needs import (
    inspect_first,
    needs_conditioning,
    playable,
    playable_until,
    stays_closed,
    sticky,
)
from core.reels.reel import STAGES, Reel, Stage
from core.shelf import Shelf
from core.standing.left_to_play import to_play
from core.standing.proof import no_second_copy, unproved
from core.studio.opening import bench_window
from core.studio.setup import Setup
from core.words import day_text, ended


def stage_now(shelf: Shelf, reel: Reel, at: datetime) -> Stage:
    """The stage it stands at now: ``aligned`` falls back by itself when no deck stands on its set-up."""
    if reel.stage != "aligned":
        return reel.stage
    return "aligned" if deck_on_setup(shelf, reel, at) else "conditioned"


def deck_on_setup(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """The deck lined up in the bench window of that moment to a set-up that the reel wants."""
    for deck in shelf.studio.decks:
        stands = deck_stands(shelf).get(deck.id)
        if stands is None or reel.width is None or not deck.takes_width(reel.width):
            continue
        wanted = {setup_record(one.reel.setup) for one in to_play(shelf, reel)}
        if stands.setup_key in wanted and lined_up_since(shelf, stands.at, at):
            return deck.id
    return None


def lined_up_since(shelf: Shelf, lined_up: datetime, at: datetime) -> bool:
    """Whether a deck's line-up of that moment was made in the bench window of the other.

    Moments are told by the minute: what ended within the same minute was before.
    """
    window = bench_window(shelf.studio, at)
    return window is not None and window.start <= lined_up and by_minute(lined_up) <= at


def by_minute(moment: datetime) -> datetime:
    """The minute in which it lies, as one tells it."""
    return moment.replace(second=0, microsecond=0)


def not_lined_up(shelf: Shelf, deck_id: str, setup: Setup, at: datetime) -> str | None:
    """Why a tape of that set-up begins on a deck that is not lined up for it; None where it is.

    A line-up counts in its own bench window; past the window's end it counts for the rest of that evening.
    """
    stands = deck_stands(shelf).get(deck_id)
    if stands is None:
        return f"{deck_id} is not lined up"
    if stands.setup_key != setup_record(setup):
        return (
            f"{deck_id} is lined up to {stands.setup}" if stands.setup else f"{deck_id} is lined up otherwise"
        )
    window = bench_window(shelf.studio, at)
    zone = shelf.studio.zone
    lined = stands.at.astimezone(zone)
    same = by_minute(stands.at) <= at and evening_of(lined) == evening_of(at.astimezone(zone))
    late = window is None and same
    if late or lined_up_since(shelf, stands.at, at):
        return None
    return f"{deck_id} was lined up {day_text(lined.date())} {lined:%H:%M}, and not since"


NOT_MET = "The gate is not met: "


def setup_record(setup: Setup) -> tuple[str, ...]:
    """A set-up's key as plain words, as a record keeps it."""
    return tuple("" if part is None else str(part) for part in setup.key)


def unmet(shelf: Shelf, reel: Reel, stage: Stage, at: datetime) -> str | None:
    """The first gate between where the reel is and ``stage`` that is not met, as a sentence; None if none.

    A sticky reel whose playable time has lapsed meets the gate of ``conditioned`` only by being warmed again.
    """
    first = STAGES.index(reel.stage) + 1
    for step in STAGES[first : STAGES.index(stage) + 1]:
        why = _GATES[step](shelf, reel, at, last=step == stage)
        if why is not None:
            return why
    return None


def asked_for(shelf: Shelf, reel: Reel, stage: Stage, at: datetime) -> str | None:
    """Why a screen asks for a reason before it marks: an unmet gate, or no second copy to verify by."""
    why = unmet(shelf, reel, stage, at)
    if why is not None:
        return f"{NOT_MET}{ended(why)}"
    copy = no_second_copy(shelf, reel.key) if stage == "verified" else None
    return f"{copy[0].upper()}{copy[1:]}: D on its captures compares one." if copy else None


def as_reason(asked: str) -> str:
    """What a screen asked a reason for, as a reason among others: without the words that only ask."""
    return asked.removeprefix(NOT_MET).rstrip(".")


def _found(shelf: Shelf, reel: Reel, at: datetime, *, last: bool) -> str | None:
    return None


def _identified(shelf: Shelf, reel: Reel, at: datetime, *, last: bool) -> str | None:
    """Its base needs no word: unknown is an answer. With mould its box stays closed, and no look was one."""
    if stays_closed(reel):
        return f"its box stays closed: {advice_of(shelf, reel, at).because}"
    told = {"width": reel.width, "tracks": reel.tracks, "condition": reel.condition}
    missing = [name for name, value in told.items() if not value]
    return f"not known yet: {', '.join(missing)}" if missing else None


def _conditioned(shelf: Shelf, reel: Reel, at: datetime, *, last: bool) -> str | None:
    """What comes out of a chamber had its hours; that one was warmed elsewhere is the owner's word alone."""
    told = advice_of(shelf, reel, at)
    if reel.chamber:
        why = told.no_heat or too_early(shelf, reel, at)
        return why if why is not None or last else f"in chamber {reel.chamber}"
    if told.barred_by is not None:
        return told.barred_by
    unseen = not_inspected(reel)
    if unseen is not None:
        return unseen
    if not needs_conditioning(reel, shelf.studio, at, shelf.own_stocks()):
        return None
    return no_load(shelf, reel) if last else "sticky, and not warmed yet"


def _aligned(shelf: Shelf, reel: Reel, at: datetime, *, last: bool) -> str | None:
    why = not_inspected(reel)
    if why is not None:
        return why
    if any(one.reel.speed is None for one in to_play(shelf, reel)):
        return "not known: speed"
    return ready_to_play(shelf, reel, at)


def look_tells(reel: Reel) -> bool:
    """Whether a look at that reel is over only once it is told what was seen; with mould nothing more is."""
    return not stays_closed(reel) and (reel.stage == "found" or bool(not_inspected(reel)))


def not_inspected(reel: Reel) -> str | None:
    """That a reel's condition is not known, so that it is played by nobody; None where someone looked."""
    return "nobody has inspected it: look first, its condition is not known" if inspect_first(reel) else None


def ready_to_play(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """Why the reel may not go on the deck at that moment, told to the minute; None if it may."""
    why = advice_of(shelf, reel, at).barred_by
    if why is not None:
        return why
    why = at_hand(shelf, reel, at)
    if why is not None:
        return why
    minute = at.replace(second=0, microsecond=0)  # a pass that is planned up to the end ends seconds later
    if sticky(reel, shelf.own_stocks()) and not playable(reel, shelf.studio, minute):
        end = playable_until(reel, shelf.studio)
        return f"playable only until {write_time(end)}: warm it again" if end else "sticky, not warmed yet"
    return None


def at_hand(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """Why the reel is not at hand at that moment: it is in the heat, or cools; None where it is."""
    if reel.chamber:
        return f"in chamber {reel.chamber}"
    cools = advisor(shelf).cools_until(reel, at)
    return "still cooling" if cools is not None and minutes_between(at, cools) > 0 else None


def lines_up(shelf: Shelf, key: str, at: datetime) -> str | None:
    """Why no deck is lined up with that calibration reel at that moment; None where one may be."""
    reel = shelf.reels.get(key)
    return None if reel is None else ready_to_play(shelf, reel, at) or not_inspected(reel)


def untried(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """That a tape is to be tried by hand before it runs; None where that was told, or is not wanted."""
    return test_words(advice_of(shelf, reel, at)) or None


def goes_on(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """Why a tape that stands stopped does not go on; None if it may."""
    return ready_to_play(shelf, reel, at) or nobody_looked(shelf, reel)


def _transferred(shelf: Shelf, reel: Reel, at: datetime, *, last: bool) -> str | None:
    return _aligned(shelf, reel, at, last=last)


def _verified(shelf: Shelf, reel: Reel, at: datetime, *, last: bool) -> str | None:
    return unproved(shelf, reel)


_GATES = {
    "found": _found,
    "identified": _identified,
    "conditioned": _conditioned,
    "aligned": _aligned,
    "transferred": _transferred,
    "verified": _verified,
}
