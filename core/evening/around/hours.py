"""The hours of one date, told apart from those of its weekday: someone does not come tonight."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from core.errors import Refused
from core.shelf import Shelf
from core.studio.opening import rows_on
from core.studio.studio import HoursRow
from core.words import day_text


def without_helper(shelf: Shelf, day: date) -> Shelf:
    """The shelf with that date's hours as they are, but nobody coming to line up the deck."""
    rows = rows_on(shelf.studio, day)
    if not any(row.helper for row in rows):
        raise Refused(f"nobody is expected on {day_text(day)}")
    alone = [replace(row, days=(), dates=(day,), helper=False) for row in rows if row.bench or row.home]
    return with_date(shelf, day, alone)


def helper_times(shelf: Shelf, day: date) -> tuple[str, str] | None:
    """From when until when the helper is expected on that date, as ``19:00`` and ``22:30``; None if not."""
    rows = [row for row in rows_on(shelf.studio, day) if row.helper]
    if not rows:
        return None
    ends = min(row.from_minutes for row in rows), max(row.to_minutes for row in rows)
    return minutes_text(ends[0]), minutes_text(ends[1])


def with_helper(shelf: Shelf, day: date, first: str, last: str) -> Shelf:
    """The shelf with that date's hours as they are, and the helper there from the one time to the other."""
    alone = [replace(row, helper=False) for row in rows_on(shelf.studio, day) if row.bench or row.home]
    begin, end = _minutes(first), _minutes(last)
    there = HoursRow((), (day,), begin, end + (24 * 60 if end <= begin else 0), helper=True)
    return with_date(shelf, day, [*alone, there])


def minutes_text(minutes: int) -> str:
    """``22:30`` for so many minutes of the day, past midnight too."""
    return f"{minutes // 60 % 24:02}:{minutes % 60:02}"


def _minutes(text: str) -> int:
    hours, minutes = text.split(":")
    return int(hours) * 60 + int(minutes)


def with_date(shelf: Shelf, day: date, rows: Iterable[HoursRow]) -> Shelf:
    """The shelf with these rows as the hours of that date alone; without any, nobody is there on it."""
    own = [replace(row, days=(), dates=(day,)) for row in rows] or [HoursRow((), (day,), 0, 0, off=True)]
    others = [_without(row, day) for row in shelf.studio.hours]
    hours = (*(row for row in others if row is not None), *own)
    return replace(shelf, studio=replace(shelf.studio, hours=hours))


def _without(row: HoursRow, day: date) -> HoursRow | None:
    """The row without that date; None where nothing is left of it."""
    if day not in row.dates:
        return row
    dates = tuple(one for one in row.dates if one != day)
    return replace(row, dates=dates) if dates or row.days else None
