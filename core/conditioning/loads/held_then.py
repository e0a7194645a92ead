"""What lay in which chamber at another time than now: no two loads in one, no tape in two at once."""

from __future__ import annotations

from datetime import datetime

from core.clock import later
from core.conditioning.loads.chamber_log import ChamberLog
from core.conditioning.loads.kept_loads import loads_of
from core.shelf import Shelf
from core.studio.studio import Chamber
from core.words import day_text, listed


def held_then(
    shelf: Shelf, chamber: Chamber, start: datetime, end: datetime | None = None, *, apart: str = ""
) -> str:
    """``C1 held A and B from Sat 5 Dec 9:00 to 13:02``: the load that is over and lay there in that time.

    Empty where none did: the minutes of a touch are no time, since one load comes out as the next goes in.
    ``end`` is None for a moment; ``apart`` is the key of a load that is not asked about.
    """
    for key, log in loads_of(shelf).items():
        over = _over(log)
        if key == apart or log.chamber != chamber.id or over is None:
            continue
        begun = log.at <= start if end is None else later(log.at, minutes=chamber.touch_minutes) < end
        if begun and later(start, minutes=chamber.touch_minutes) < over:
            till = f"{over:%H:%M}" if over.date() == log.at.date() else _moment(over)
            return f"{chamber.id} held {listed(_keys(log))} from {_moment(log.at)} to {till}"
    return ""


def lay_then(
    shelf: Shelf, reel: str, start: datetime, end: datetime | None = None, *, apart: str = ""
) -> str:
    """``it lay in C1 from Sat 5 Dec 8:05 to 12:06``: another load with that tape in that time; empty if none.

    ``end`` is None for a tape that is in a chamber still; ``apart`` is the key of the load asked about.
    """
    for key, log in loads_of(shelf).items():
        mine = log.member(reel)
        out = (mine.out or log.broken_off) if mine is not None else None
        if key != apart and out is not None and start < out and (end is None or log.at < end):
            till = f"{out:%H:%M}" if out.date() == log.at.date() else _moment(out)
            return f"it lay in {log.chamber} from {_moment(log.at)} to {till}"
    return ""


def _over(log: ChamberLog) -> datetime | None:
    """When the last tape of that load was out, or its warmth ended; None where that is not known."""
    if log.trial:
        return None
    if log.broken_off is not None:
        return log.broken_off
    outs = [one.out for one in log.members if one.out is not None]
    return max(outs) if len(outs) == len(log.members) else None


def _keys(log: ChamberLog) -> list[str]:
    return [one.reel for one in log.members]


def _moment(at: datetime) -> str:
    return f"{day_text(at.date())} {at:%H:%M}"
