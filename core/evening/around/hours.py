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
