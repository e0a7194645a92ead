"""A tape that ran on a deck, told afterwards: also one that by now must run nowhere.

It is no pass, and plays nothing: that it ran there is kept for the deck's path and for what ran behind it.
"""

from __future__ import annotations

from datetime import datetime

from core.clock import later, write_time
from core.errors import Refused
from core.logbook.steps import StepTaken
from core.logbook.typed import with_entry
from core.shelf import Shelf


def ran_on(shelf: Shelf, key: str, deck: str, at: datetime, now: datetime, because: str = "") -> Shelf:
    """The shelf that knows that this reel's tape ran on that deck at that moment.

    Refused for a moment to come, and for a deck that the studio does not have.
    """
    reel = shelf.reel(key)
    if shelf.studio.deck(deck) is None:
        known = ", ".join(one.id for one in shelf.studio.decks)
        raise Refused(f"no deck {deck!r} in this studio: one of {known}")
    if at > now:
        raise Refused(f"{key} ran on {deck} before now: --at says when")
    began = at.replace(second=0, microsecond=0)
    why = "; ".join(filter(None, ("it ran, told afterwards", because.strip())))
    told = StepTaken(
        "transfer", reel.key, (began, later(began, minutes=1)), "skipped", (reel.key,),
        started=began, finished=now, because=why, deck=deck,
    )  # fmt: skip
    return with_entry(shelf, f"transfer {reel.key} {began.isoformat(timespec='minutes')} told", told)


def lay_in(shelf: Shelf, key: str, chamber: str, at: datetime, now: datetime, because: str = "") -> Shelf:
    """The shelf that knows that this reel lay warm in that chamber at that moment: for what lay beside it.

    It is no load and no treatment. Refused for a moment to come, and for a chamber that the studio does not
    have.
    """
    reel = shelf.reel(key)
    if shelf.studio.chamber(chamber) is None:
        known = ", ".join(one.id for one in shelf.studio.chambers) or "none"
        raise Refused(f"no chamber {chamber!r} in this studio (there: {known})")
    if at > now:
        raise Refused(f"{key} lay in {chamber} before now: --at says when")
    moment = write_time(at.replace(second=0, microsecond=0))
    told = {"chamber": chamber, "at": moment, "reels": [reel.key], "because": because.strip()}
    return shelf.with_record("lay", f"{chamber} {moment} {reel.key}", told)
