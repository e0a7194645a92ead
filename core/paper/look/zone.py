"""A time zone's changes of the clock as a VTIMEZONE (RFC 5545, 3.6.5)."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import icalendar


def zone_component(moment: datetime, first: datetime, last: datetime) -> icalendar.Timezone | None:
    """The zone of ``moment`` with its changes in [first, last]; None where times are written in UTC.

    Each change is a part of its own: its DTSTART is what the clock showed, by the offset before, when it
    changed.
    """
    written = icalendar.vDatetime(moment)
    name = written.params.get("TZID")
    if not name:
        return None
    out = icalendar.Timezone()
    out.add("tzid", name)
    start = first.astimezone(moment.tzinfo)
    out.add_component(_part(start, start.replace(tzinfo=None), start))
    for before, after in changes(first.astimezone(moment.tzinfo), last.astimezone(moment.tzinfo)):
        wall = (after.astimezone(UTC) + (before.utcoffset() or timedelta())).replace(tzinfo=None)
        out.add_component(_part(before, wall, after))
    return out


def changes(first: datetime, last: datetime) -> Iterator[tuple[datetime, datetime]]:
    """(last second before, first moment after) of every change of the offset between the two moments."""
    low = first.astimezone(UTC).replace(microsecond=0)
    while low < last:
        high = min(low + timedelta(days=7), last.astimezone(UTC))
        if _offset(low, first) != _offset(high, first):
            left, right = low, high
            while right - left > timedelta(seconds=1):
                middle = (left + (right - left) / 2).replace(microsecond=0)
                left, right = (
                    (middle, right) if _offset(middle, first) == _offset(left, first) else (left, middle)
                )
            yield left.astimezone(first.tzinfo), right.astimezone(first.tzinfo)
        low = high


def _offset(moment: datetime, like: datetime) -> timedelta | None:
    return moment.astimezone(like.tzinfo).utcoffset()


def _part(
    before: datetime, wall: datetime, after: datetime
) -> icalendar.TimezoneStandard | icalendar.TimezoneDaylight:
    part = icalendar.TimezoneDaylight() if after.dst() else icalendar.TimezoneStandard()
    part.add("dtstart", wall.replace(microsecond=0))
    part.add("tzoffsetfrom", before.utcoffset() or timedelta())
    part.add("tzoffsetto", after.utcoffset() or timedelta())
    part.add("tzname", after.tzname() or "")
    return part
