"""Tapes whose pass was laid aside before its end: they lie on both reels, until they are wound back.

A pass is laid aside when its tape is heard at another speed than its box said, or is to be played once more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from core.clock import clock_text
from core.conditioning.dirty_path import path_lines
from core.errors import Refused
from core.logbook.passes import PlayedPass, played
from core.logbook.places import put_away
from core.logbook.typed import with_entry
from core.shelf import Shelf
from core.words import ended


@dataclass(frozen=True, slots=True)
class LeftLying:
    """A tape that lies on both reels: since when, at which second of it, and why.

    ``deck`` is empty where that is not kept.
    """

    reel: str
    deck: str
    since: datetime
    seconds: float
    why: str

    @property
    def says(self) -> str:
        """What is so and what to do, in one line."""
        on = f"both reels of {self.deck}" if self.deck else "both reels"
        stands = f"{self.reel} lies on {on} at {clock_text(int(self.seconds))} ({self.why})"
        return f"{stands}: stop it, and wind it back before it plays again"

    @property
    def told_by(self) -> str:
        """How one says that it is done."""
        return f"`reelturn tonight wound {self.reel}` when it is; --because begins all the same"


def left_lying(shelf: Shelf) -> Iterator[LeftLying]:
    """Every tape that lies so now: nothing of it ran since, it was not wound back, nor put into its place."""
    for reel, one in _newest(shelf).items():
        stood = one.last.stopped or one.last.started
        back = put_away(shelf).get(reel)
        if stood_apart(one) and one.holds != "own" and (back is None or back.at < stood):
            yield LeftLying(reel, _deck(shelf, reel, stood), stood, one.last.to or 0.0, one.void)


ONTO_ONE = "by hand, slowly, onto one reel before it is warmed; where it clings, warm both as they are"
"""What is done with a tape on two reels before a heat: common practice, since half of it would stay cold."""


def on_two_reels(shelf: Shelf, reel: str) -> str:
    """``stands at 14:50, on two reels`` of a tape that was stopped on its way; empty for any other."""
    tape = shelf.reels.get(reel)
    mine = [one for one in played(shelf).values() if one.reel == reel]
    if tape is None or tape.past("transferred") or not mine:
        return ""
    newest = max(mine, key=lambda one: one.last.started)
    if newest.state != "stopped" or not newest.last.to or newest.holds == "own":
        return ""
    return f"stands at {clock_text(int(newest.last.to))}, on two reels"


def deck_lines(shelf: Shelf) -> tuple[str, ...]:
    """What is to be done at the decks before anything else: paths to be wiped, tapes to be wound back."""
    return (*path_lines(shelf), *(ended(one.says) for one in left_lying(shelf)))


def left_on(shelf: Shelf, deck: str, reel: str) -> LeftLying | None:
    """The tape that still lies on that deck, or ``reel`` itself wherever it lies, when something begins."""
    lies = list(left_lying(shelf)) if deck else []
    mine = (one for one in lies if one.reel == reel)
    there = (one for one in lies if one.deck == deck and not _ran_since(shelf, one))
    return next(mine, None) or next(there, None)


def stood_apart(one: PlayedPass) -> bool:
    """True for a pass that was laid aside before its end, be it wound back since or not."""
    return bool(one.void) and one.state == "stopped" and (one.last.to or 0.0) > 0


def wound_back(shelf: Shelf, reel: str) -> Shelf:
    """The shelf with that tape wound back onto its own reel; Refused where it does not lie on both."""
    if all(one.reel != reel for one in left_lying(shelf)):
        raise Refused(f"{reel} does not lie on both reels: nothing of it is to be wound back")
    for key, one in played(shelf).items():
        if one.reel == reel and stood_apart(one):
            shelf = with_entry(shelf, key, replace(one, holds="own"))
    return shelf


def _newest(shelf: Shelf) -> dict[str, PlayedPass]:
    """By reel that is not transferred, its newest pass, whether it counts or not."""
    found: dict[str, PlayedPass] = {}
    for key, record in shelf.of_kind("pass").items():
        reel = shelf.reels.get(str(record.get("reel", "")))
        if reel is None or reel.past("transferred"):
            continue
        one = played(shelf)[key]
        if reel.key not in found or one.last.started >= found[reel.key].last.started:
            found[reel.key] = one
    return found


def _deck(shelf: Shelf, reel: str, stood: datetime) -> str:
    """The deck on which that reel ran last before it stood."""
    ran = [(at, deck) for key, deck, at in _began(shelf) if key == reel and at <= stood]
    return max(ran, default=(stood, ""))[1]


def _ran_since(shelf: Shelf, lies: LeftLying) -> bool:
    """Whether anything began on its deck after it stood: then it was lifted off."""
    return any(deck == lies.deck and at > lies.since for _, deck, at in _began(shelf))


def _began(shelf: Shelf) -> Iterator[tuple[str, str, datetime]]:
    """Reel, deck and moment of everything that began on a deck; looked at raw, since most of it is over."""
    for one in shelf.of_kind("actual").values():
        align = one.get("kind") == "align"
        deck, reel = one.get("subject" if align else "deck"), one.get("calibration" if align else "subject")
        if deck and one.get("started"):
            yield str(reel or ""), str(deck), datetime.fromisoformat(str(one["started"]))
