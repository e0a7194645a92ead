"""Tapes that run now although what is known of them by now forbids it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.conditioning.advice import Advice
from core.conditioning.advisor import advice_of
from core.logbook.running import begun_unseen, running
from core.reels.needs import inspect_first
from core.reels.reel import Reel
from core.shelf import Shelf
from core.values import dataclass
from core.words import ended


@dataclass(frozen=True, slots=True)
class ToStop:
    """A reel whose tape runs and must not, since when, why, what to do then, and all in one line."""

    reel: str
    since: datetime
    why: str
    then: str
    says: str


def on_deck(shelf: Shelf) -> Iterator[ToStop]:
    """Every tape that runs and that must be stopped now: a pass, a first hearing, a line-up's own reel."""
    for key, tape in running(shelf).items():
        reel = shelf.reels.get(key)
        if reel is None:
            continue
        told = advice_of(shelf, reel, tape.since)
        why = _forbids(told) or nobody_looked(shelf, reel)
        if why is not None:
            where = f" on {tape.deck}" if tape.deck else ""
            says = f"Stop {key}{where} now: {ended(why)} Then {told.stop}."
            yield ToStop(key, tape.since, why, told.stop, says)


def must_not_run(shelf: Shelf, reel: Reel, at: datetime) -> bool:
    """True for a tape that would be stopped if it ran at that moment: nobody winds it either."""
    return _forbids(advice_of(shelf, reel, at)) is not None


def nobody_looked(shelf: Shelf, reel: Reel) -> str | None:
    """That a tape runs on only once it was looked at; None where it was, or was begun so for a reason."""
    if not inspect_first(reel) or begun_unseen(shelf, reel.key):
        return None
    return "nobody has looked at it as it is now"


def _forbids(told: Advice) -> str | None:
    """Why a tape of which this is known does not run; what is to be warmed first does not either."""
    return told.barred_by or (told.because if told.word == "warm" else None)
