"""What runs on a deck now: passes, first hearings, line-ups, winds; one home, asked before another begins."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Literal

from core.clock import evening_of, later, minutes_between
from core.logbook.passes import PlayedPass, played
from core.logbook.steps import taken
from core.shelf import RecordKind, Shelf
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Running:
    """Since when a tape moves, and on which deck; empty where that is not kept."""

    since: datetime
    deck: str = ""


@dataclass(frozen=True, slots=True)
class OnDeck:
    """What runs on a deck, since when; a line-up made without a calibration reel has no reel."""

    kind: Literal["transfer", "audition", "align", "wind"]
    deck: str
    reel: str
    since: datetime

    @property
    def words(self) -> str:
        """``the line-up of D2``, ``the first hearing of R-1``, ``the wind of R-1``, ``R-1``."""
        if self.kind == "align":
            return f"the line-up of {self.deck}"
        if self.kind == "wind":
            return f"the wind of {self.reel}"
        return f"the first hearing of {self.reel}" if self.kind == "audition" else self.reel


def running(shelf: Shelf) -> dict[str, Running]:
    """By reel, every tape that moves now."""
    return {one.reel: Running(one.since, one.deck) for one in on_decks(shelf) if one.reel}


def on_decks(shelf: Shelf) -> Iterator[OnDeck]:
    """Everything that runs on a deck: line-ups, first hearings and winds, then passes."""
    steps = [taken(shelf)[key] for key in _that_run(shelf, "actual")]
    for step in steps:
        if step.kind == "align" and step.started is not None:
            yield OnDeck("align", step.subject, step.calibration, step.started)
        elif step.kind == "audition" and step.started is not None:
            yield OnDeck("audition", step.deck, step.subject, step.started)
        elif step.kind == "wind" and step.started is not None:
            yield OnDeck("wind", step.deck, step.subject, step.started)
    for key in _that_run(shelf, "pass"):
        tape = played(shelf)[key]
        mine = (step for step in steps if step.kind == "transfer" and step.subject == tape.reel)
        if not tape.void:
            yield OnDeck("transfer", next((step.deck for step in mine), ""), tape.reel, tape.last.started)


def line_ups_running(shelf: Shelf, at: datetime) -> tuple[OnDeck, ...]:
    """Line-ups and first hearings of this evening that run; one that was left open on another is over."""
    return _of_this_evening(shelf, at, ("align", "audition"))


def winds_running(shelf: Shelf, at: datetime) -> tuple[OnDeck, ...]:
    """Winds of this evening that run: they stand in no plan, and planning waits for none."""
    return _of_this_evening(shelf, at, ("wind",))


def _of_this_evening(shelf: Shelf, at: datetime, kinds: tuple[str, ...]) -> tuple[OnDeck, ...]:
    zone = shelf.studio.zone
    day = evening_of(at.astimezone(zone))
    begun = (one for one in on_decks(shelf) if one.kind in kinds)
    return tuple(one for one in begun if evening_of(one.since.astimezone(zone)) == day)


def table_work(shelf: Shelf, at: datetime, *, forgotten: bool = False) -> tuple[tuple[str, datetime], ...]:
    """``the repair of R-1`` and since when: repairs, looks, verifies of this evening that planning waits for.

    With ``forgotten`` those that run for longer than twice their planned length: for them it waits no more.
    """
    zone = shelf.studio.zone
    day = evening_of(at.astimezone(zone))
    found = []
    for key in _that_run(shelf, "actual"):
        step = taken(shelf)[key]
        if step.kind not in TABLE or step.started is None:
            continue
        since = step.started.astimezone(zone)
        long = at > later(step.started, minutes=2 * minutes_between(*step.planned))
        if evening_of(since) == day and long == forgotten:
            found.append((f"the {TABLE[step.kind]} of {step.subject}", since))
    return tuple(found)


TABLE: dict[str, str] = {"identify": "look", "repair": "repair", "verify": "verify"}
"""Work at the table, as it is called."""


def mended(shelf: Shelf) -> dict[str, datetime]:
    """By reel, every tape that is being mended now, and since when."""
    steps = (taken(shelf)[key] for key in _that_run(shelf, "actual"))
    return {one.subject: one.started for one in steps if one.kind == "repair" and one.started is not None}


def stands_tonight(shelf: Shelf, at: datetime) -> PlayedPass | None:
    """The pass that was stopped on its way this evening and lies on its deck; None where none does."""
    zone = shelf.studio.zone
    day, tonight = evening_of(at.astimezone(zone)), []
    for key in _that_are(shelf, "pass", "stopped"):
        one = played(shelf)[key]
        reel, stood = shelf.reels.get(one.reel), one.last.stopped
        over = one.void or one.holds in ("own", "off") or reel is None or reel.past("transferred")
        if not over and stood is not None and evening_of(stood.astimezone(zone)) == day:
            tonight.append((stood, one))
    return max(tonight, key=lambda pair: pair[0])[1] if tonight else None


def runs_tonight(shelf: Shelf, at: datetime) -> bool:
    """Whether work of this evening was begun and is not over; a load that was begun is in by itself.

    So for a tape that stands on its deck.
    """
    if stands_tonight(shelf, at) is not None:
        return True
    day, zone = evening_of(at.astimezone(shelf.studio.zone)), shelf.studio.zone
    begun = (taken(shelf)[key] for key in _that_run(shelf, "actual"))
    began = (one.started for one in begun if one.kind not in _TOUCHES)
    return any(one is not None and evening_of(one.astimezone(zone)) == day for one in began)


_TOUCHES = ("load", "turn", "take out")


def in_the_way(shelf: Shelf, deck: str, at: datetime, reel: str = "") -> OnDeck | None:
    """What runs on that deck already, so that nothing else begins there; nothing of ``reel`` but its wind."""
    passes = (one for one in on_decks(shelf) if one.kind == "transfer")
    every = (*line_ups_running(shelf, at), *winds_running(shelf, at), *passes)
    other = (one for one in every if reel != one.reel or one.kind == "wind")
    return next((one for one in other if deck and one.deck == deck), None)


def begun_unseen(shelf: Shelf, reel: str) -> bool:
    """True where what runs of that reel, or stands stopped, was begun though nobody had looked at it."""
    begun = (taken(shelf)[key] for key in _that_run(shelf, "actual"))
    return any(step.unseen and reel in (step.subject, step.calibration) for step in begun)


def _that_run(shelf: Shelf, kind: RecordKind) -> list[str]:
    return _that_are(shelf, kind, "running")


def _that_are(shelf: Shelf, kind: RecordKind, state: str) -> list[str]:
    """Keys of that kind's records in that state: looked at raw, since a shelf has thousands that are over."""
    return [key for key, record in shelf.of_kind(kind).items() if record.get("state") == state]
