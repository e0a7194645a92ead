"""Which stretches of time are bench, home, helper or loud: rows of hours laid over dates and joined."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Literal

from core.clock import Span, at_wall, joined, later
from core.studio.studio import WEEKDAYS, HoursRow, Studio

Flag = Literal["bench", "home", "helper", "loud"]

EARLY_HOURS = 1
"""What is done so long before a bench window opens belongs to it already."""


def opening(studio: Studio, flag: Flag, start: datetime, end: datetime) -> tuple[Span, ...]:
    """The unbroken runs in which the flag holds and that meet [start, end], whole, not cut to it.

    At each moment a flag holds if any row then says so; ``loud`` holds from a bench row's start to its
    ``loud_until``, or its end. A date's own rows replace its weekday's.
    """
    day = start.date() - timedelta(days=3)
    last = end.date() + timedelta(days=3)
    spans: list[Span] = []
    while day <= last:
        for row in rows_on(studio, day):
            spans.extend(_span(studio, row, flag, day))
        day += timedelta(days=1)
    return tuple(span for span in joined(spans) if span.end > start and span.start < end)


def bench_window(studio: Studio, at: datetime) -> Span | None:
    """The bench window to which work at that moment belongs, with the hour before it; None if there is none.

    The hour before is cut where another window ends in it.
    """
    for span in opening(studio, "bench", at, later(at, hours=EARLY_HOURS, minutes=1)):
        early = later(span.start, hours=-EARLY_HOURS)
        before = [one.end for one in opening(studio, "bench", early, span.start) if one.end <= span.start]
        since = max([early, *before])
        if since <= at:
            return Span(since, span.end)
    return None


def rows_on(studio: Studio, day: date) -> tuple[HoursRow, ...]:
    """The rows that count on that date."""
    own = tuple(row for row in studio.hours if day in row.dates)
    if own:
        return tuple(row for row in own if not row.off)
    name = WEEKDAYS[day.weekday()]
    return tuple(row for row in studio.hours if name in row.days and not row.off)


def _span(studio: Studio, row: HoursRow, flag: Flag, day: date) -> Iterator[Span]:
    wanted = row.bench if flag == "loud" else getattr(row, flag)
    if not wanted:
        return
    end = row.to_minutes
    if flag == "loud" and row.loud_until_minutes is not None:
        end = row.loud_until_minutes
    where = studio.zone
    yield Span(at_wall(day, row.from_minutes, where), at_wall(day, end, where))
