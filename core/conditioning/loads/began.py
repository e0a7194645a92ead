"""Whether a load that is planned was begun, with all of its reels or some, at whatever door it was told."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import datetime

from core.conditioning.advisor import advisor
from core.conditioning.loads.chamber_log import ChamberLog
from core.shelf import Shelf


def load_began(shelf: Shelf, chamber: str, reels: Collection[str], planned: datetime) -> bool:
    """True where all of those reels went into that chamber together, for no load before the planned one.

    What came out of it since counts too: a load does not begin once more when it is over. One that was
    broken off is none that was made.
    """
    return any(all(log.member(key) for key in reels) for log in _begun(shelf, chamber, reels, planned))


def begun_with_some(
    shelf: Shelf, chamber: str, reels: Collection[str], planned: datetime
) -> ChamberLog | None:
    """The log of the planned load that began with some of those reels or all of them; None where none did."""
    return next(_begun(shelf, chamber, reels, planned), None)


def broken_off_of(shelf: Shelf, chamber: str, reels: Collection[str], planned: datetime) -> ChamberLog | None:
    """The log of the planned load that began with some of those reels and is off since; None where none is.

    A load that was planned to begin after that moment is another.
    """
    for log in advisor(shelf).loads:
        off = log.broken_off
        if log.chamber != chamber or log.trial or off is None or planned >= off:
            continue
        ends = [log.planned_out(one) or off for one in log.members if one.reel in reels]
        if ends and max(ends) > planned:
            return log
    return None


def _begun(shelf: Shelf, chamber: str, reels: Collection[str], planned: datetime) -> Iterator[ChamberLog]:
    for log in advisor(shelf).loads:
        if log.chamber != chamber or log.trial or log.broken_off is not None:
            continue
        ends = [one.out or log.planned_out(one) or log.at for one in log.members if one.reel in reels]
        if ends and max(ends) > planned:
            yield log
