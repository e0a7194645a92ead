"""Times as a person writes them on the sheet: of this evening, also past midnight."""

from __future__ import annotations

from datetime import date, datetime, timedelta, tzinfo

from core.clock import at_wall, read_time
from core.evening.runsheet import NIGHT_ENDS


def of_evening(text: str, day: date, where: tzinfo) -> datetime:
    """A moment of the evening that began on ``day``: ``19:40``, or ``0:20`` of the night after it.

    A whole date and time is taken as it is. ValueError with what would be right.
    """
    typed = text.strip()
    if "-" in typed or "T" in typed:
        return read_time(typed, where)
    hours, colon, minutes = typed.partition(":")
    if not colon or not hours.isdigit() or not minutes.isdigit() or int(hours) > 23 or int(minutes) > 59:
        raise ValueError("a time such as 19:40")
    night = timedelta(days=1 if int(hours) < NIGHT_ENDS else 0)
    return at_wall(day + night, int(hours) * 60 + int(minutes), where)


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
