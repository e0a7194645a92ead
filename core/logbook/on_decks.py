"""What ran on which deck, and when: passes, first hearings, line-ups by a calibration reel."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import NamedTuple

from core.logbook.passes import played
from core.shelf import Shelf


class Ran(NamedTuple):
    """On which deck which reel's tape began to run, and when."""

    deck: str
    reel: str
    at: datetime


def runs(shelf: Shelf) -> Iterator[Ran]:
    """Everything that ever began to run on a deck; looked at raw, since most of it is long over."""
    last: dict[str, str] = {}
    for record in shelf.of_kind("actual").values():
        align = record.get("kind") == "align"
        deck = str(record.get("subject" if align else "deck", "") or "")
        reel = str(record.get("calibration" if align else "subject", "") or "")
        began = record.get("started") or (record.get("finished") if record.get("state") == "done" else None)
        if deck and reel and began and (align or record.get("kind") in ("transfer", "audition")):
            last[reel] = deck
            yield Ran(deck, reel, datetime.fromisoformat(str(began)))
    for one in played(shelf).values() if last else ():
        if one.reel in last:
            yield Ran(last[one.reel], one.reel, one.last.started)
