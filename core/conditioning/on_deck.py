"""Tapes that run now, or are mended, although what is known of them by now forbids it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.conditioning.advice import Advice
from core.conditioning.advisor import advice_of
from core.conditioning.base_look import warmed_against_base
from core.conditioning.hours_had import FOUL
from core.conditioning.tell import test_words
from core.logbook.passes import NOT_LOOKED, played_of
from core.logbook.running import begun_unseen, mended, running
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
    """Every tape that must be stopped now: a pass, a first hearing, a line-up's own reel, a repair."""
    yield from _mended(shelf)
    for key, tape in running(shelf).items():
        reel = shelf.reels.get(key)
        if reel is None:
            continue
        told = advice_of(shelf, reel, tape.since)
        why, then = _forbids(told) or nobody_looked(shelf, reel), told.stop
        if why is None:
            why, then = told_as_it_runs(shelf, reel, tape.since), _SWAB
        if not why:
            why, then = base_as_it_runs(shelf, reel, tape.since), _LOOK_CLOSELY
        if why:
            where = f" on {tape.deck}" if tape.deck else ""
            says = f"Stop {key}{where} now: {ended(why)} Then {then}."
            yield ToStop(key, tape.since, why, then, says)


def _mended(shelf: Shelf) -> Iterator[ToStop]:
    """Every tape that is being mended, and was found to have what a person must not handle bare."""
    for key, since in mended(shelf).items():
        reel = shelf.reels.get(key)
        if reel is not None and {"mould", "white powder"} & {*reel.troubles}:
            told = advice_of(shelf, reel, since)
            why = told.barred_by or told.because
            says = f"Stop the repair of {key} now: {ended(why)} Then {_BAG}."
            yield ToStop(key, since, why, _BAG, says)


#: What is done with a tape on the table that turns out to have mould: by the caution of mould.
_BAG = (
    "put on gloves and a mask of class FFP2 or N95, bag the tape as it lies, do not smell at it, air the "
    "room and wipe the table"
)
#: What is done with a tape that squeals or sheds: the caution `transfer-shed` and the quick test `swab`.
_SWAB = (
    "do not wind it: note the place, let it stand, and wipe the heads with a dry swab: say what comes off "
    "before it runs on. Gum is warmed again; a squeal alone asks for no second treatment"
)


#: What is done with a tape that turns out, as it runs, to have been warmed against its base.
_LOOK_CLOSELY = (
    "do not wind it: note the place and look closely at edges, cupping and joints before it runs on, slowly "
    "and watched; no more heat"
)


def base_as_it_runs(shelf: Shelf, reel: Reel, since: datetime) -> str:
    """That a tape was warmed against its base, as it was told since it began to run; empty for any other."""
    told = any(
        one.key == reel.key and one.field in ("base", "base_seen", "stock") and one.at >= since
        for one in shelf.history
    )
    against = warmed_against_base(shelf, reel) if told else ""
    return f"it {against.partition(':')[0]}" if against else ""


#: What of a reel may make it one that is tried by hand first.
_TRIES = ("stock", "storage", "back_coat", "year", "condition", "signs")


def told_since_it_stood(shelf: Shelf, key: str, at: datetime) -> str:
    """What was told of a stopped tape since its last run began and asks a reason before it runs on.

    That it squeals or left gum, that it was warmed against its base, that it is to be tried by hand.
    """
    stood = next((one for one in played_of(shelf, key) if one.state == "stopped"), None)
    if stood is None:
        return ""
    reel, since = shelf.reel(key), stood.last.started
    looked = stood.last.heads not in ("", NOT_LOOKED)  # the squeal is answered
    told = "" if looked else told_as_it_runs(shelf, reel, since)
    told = told or base_as_it_runs(shelf, reel, since)
    return told or (test_words(advice_of(shelf, reel, at)) if _changed(shelf, key, since) else "")


def _changed(shelf: Shelf, key: str, since: datetime) -> bool:
    """Whether what a trial by hand rests on is another than it was at that moment; what was undone is not."""
    was: dict[str, str] = {}
    now: dict[str, str] = {}
    for one in shelf.history:
        if one.key == key and one.field in _TRIES and one.at >= since:
            was.setdefault(one.field, one.old)
            now[one.field] = one.new
    return was != now


def told_as_it_runs(shelf: Shelf, reel: Reel, since: datetime) -> str:
    """That a tape squeals, or leaves gum or residue, told since it began to run; empty for any other.

    Treated or not: what was known before it began was asked about then.
    """
    told = [one for one in shelf.history if one.key == reel.key and one.at >= since]
    tried = any(one.field == "tried" and one.new == reel.tried for one in told)
    if reel.tried in FOUL and tried:
        return f"it leaves {reel.tried} on the heads"
    seen = [one.stopped for tape in played_of(shelf, reel.key) for one in tape.pieces if one.heads == "clean"]
    last = max((one for one in seen if one is not None), default=None)
    told = [one for one in told if last is None or one.at > last]  # those heads were looked at since
    words = [({*one.old.split(";")}, {*one.new.split(";")}) for one in told if one.field == "condition"]
    new = any("squeal" in now - was for was, now in words)
    return "it squeals" if new and "squeal" in reel.troubles else ""


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
