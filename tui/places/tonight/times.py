"""Times as a person writes them on the sheet: of this evening, also past midnight."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta, tzinfo

from core.clock import NIGHT_ENDS, at_wall, read_time

_CLOCK = re.compile(r"([01]?\d|2[0-3])[:.]?([0-5]\d)")


def of_evening(text: str, day: date, where: tzinfo) -> datetime:
    """A moment of the evening that began on ``day``: ``19:40`` or ``1940``; ``0:20`` of the night after.

    A whole date and time is taken as it is. ValueError with what would be right.
    """
    typed = text.strip()
    if "-" in typed or "T" in typed:
        return read_time(typed, where)
    read = _CLOCK.fullmatch(typed)
    if read is None:
        raise ValueError("a time such as 19:40")
    hours, minutes = int(read[1]), int(read[2])
    night = timedelta(days=1 if hours < NIGHT_ENDS else 0)
    return at_wall(day + night, hours * 60 + minutes, where)


def start_and_end(text: str, day: date, where: tzinfo, now: datetime) -> tuple[datetime | None, datetime]:
    """``19:05-19:40`` as both times, ``19:40`` as the end alone; ValueError where it is still to come."""
    first, dash, second = text.partition(" - ") if " - " in text else _halves(text)
    begin = of_evening(first, day, where) if dash else None
    end = of_evening(second if dash else first, day, where)
    if end > now or (begin is not None and begin > now):
        raise ValueError("a time that is over: this is still to come")
    if begin is not None and begin > end:
        raise ValueError("an end that comes after its beginning")
    return begin, end


def _halves(text: str) -> tuple[str, str, str]:
    return text.partition("-") if text.count("-") == 1 else (text, "", "")
