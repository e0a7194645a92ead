"""What ran on which deck, and when: passes, first hearings, line-ups by a calibration reel or own tones."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
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
    for record in shelf.of_kind("lineup").values():
        reel = str(record.get("calibration") or (record.get("reel") if _own(record) else "") or "")
        if reel and record.get("readings"):
            yield Ran(str(record.get("deck", "")), reel, datetime.fromisoformat(str(record["at"])))
    for one in played(shelf).values() if last else ():
        if one.reel in last:
            yield Ran(last[one.reel], one.reel, one.last.started)


def _own(record: Mapping[str, object]) -> bool:
    """True for a line-up that was read by the tones of the reel itself."""
    return "own tones" in str(record.get("choice", ""))
