"""Whether a load that is planned was begun, at whatever door it was told."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from core.conditioning.advisor import advisor
from core.shelf import Shelf


def load_began(shelf: Shelf, chamber: str, reels: Collection[str], planned: datetime) -> bool:
    """True where all of those reels went into that chamber together, for no load before the planned one.

    What came out of it since counts too: a load does not begin once more when it is over. One that was
    broken off is none that was made.
    """
    for log in advisor(shelf).loads:
        if log.chamber != chamber or log.trial or log.broken_off is not None:
            continue
        ends = [one.out or log.planned_out(one) or log.at for one in log.members if one.reel in reels]
        if reels and len(ends) == len(set(reels)) and max(ends) > planned:
            return True
    return False
