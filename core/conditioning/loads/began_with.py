"""What a load that runs goes on with, whatever the studio is told meanwhile: its turns and its set point.

Its reels keep their hours in their own ``treatment_hours`` (``core/evening/warming/retimed.py``).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from core.conditioning.loads.chamber_log import ChamberLog
from core.quantities import Quantity, plain
from core.studio.studio import Chamber


def log_from(logs: Iterable[ChamberLog], chamber: str, start: datetime) -> ChamberLog | None:
    """The log of the load that began then in that chamber, times without warmth counted in or not."""
    for log in logs:
        if log.chamber == chamber and not log.trial and _minute(start) in _starts(log):
            return log
    return None


def turned_as_begun(chamber: Chamber, log: ChamberLog | None) -> Chamber:
    """The chamber with the turns that this load keeps; as it is where it keeps none of its own."""
    if log is None or log.turn_hours is None or log.turn_hours == chamber.turn_every.number:
        return chamber
    return replace(chamber, turn_every=Quantity(f"{plain(log.turn_hours)} h", log.turn_hours))


def set_point_as_begun(log: ChamberLog | None, usual: Quantity) -> str:
    """The set point of that load as it is written: the studio's own where it is the same."""
    if log is None or log.celsius is None or log.celsius == float(usual.number):
        return str(usual)
    return f"{log.celsius:g} degC"


def _starts(log: ChamberLog) -> tuple[datetime, datetime]:
    return _minute(log.at), _minute(log.as_if_from)


def _minute(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)
