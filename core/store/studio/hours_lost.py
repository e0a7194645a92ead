"""What a day's new hours, in place of its own, take away: told as they are set."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from core.store.studio.evening_hours import end_of_loud
from core.store.studio.hours_words import FLAGS, row_words
from core.store.studio.readers import clock_words
from core.studio.opening import rows_on
from core.studio.studio import WEEKDAYS, HoursRow, Studio
from core.words import counted, day_text, listed

_MOST = 6  # dates that are named


def hours_lost(before: Studio, after: Studio, day: date | str) -> str:
    """What the day had and has no more, and that a loud deck runs on there; empty where it lacks nothing.

    The bench may move; of the time at home beside it, which a warm chamber needs, what is gone is named.
    """
    old, new = (_rows_of(one, day) for one in (before, after))
    if not new:
        return ""
    had, has = ({flag for flag in FLAGS for row in rows if getattr(row, flag)} for rows in (old, new))
    lost = [flag for flag in FLAGS if flag in had - has]
    if "home" not in lost and (gone := list(_home_gone(old, new))):
        lost.append(f"home {listed(gone)}")
    told = []
    if lost:
        told.append(f"no {listed(lost)} any more (it was {' and '.join(row_words(row) for row in old)})")
    told += _loud_longer(before, old, new)
    named = f"every {day.capitalize()}" if isinstance(day, str) else day_text(day)
    return f"{named}: {'; '.join(told)}" if told else ""


def lost_with(before: Studio, after: Studio) -> Iterator[str]:
    """What another studio's hours take away: dates with their own, then weekdays."""
    told = {day: rows_on(before, day) for row in before.hours for day in row.dates}
    gone = [day for day, rows in sorted(told.items()) if rows_on(after, day) != rows]
    if gone:
        was = {day: " and ".join(row_words(row) for row in told[day]) or "off" for day in gone[:_MOST]}
        words = [f"{day_text(day)} {hours}" for day, hours in was.items()]
        more = f" and {len(gone) - _MOST} more" if len(gone) > _MOST else ""
        yield f"the hours told for {counted(len(gone), 'date')} go: {', '.join(words)}{more}"
    yield from filter(None, (hours_lost(before, after, day) for day in WEEKDAYS))


def _home_gone(old: Sequence[HoursRow], new: Sequence[HoursRow]) -> Iterator[str]:
    """The stretches at home, the bench's own apart, in which nobody is there now."""
    stays = sorted((row.from_minutes, row.to_minutes) for row in new if row.home)
    for row in old:
        if not row.home or row.bench:
            continue
        at = row.from_minutes
        for first, last in stays:
            if at < first < row.to_minutes:
                yield f"{clock_words(at)}-{clock_words(first)}"
            at = max(at, last)
        if at < row.to_minutes:
            yield f"{clock_words(at)}-{clock_words(row.to_minutes)}"


def _loud_longer(studio: Studio, old: Sequence[HoursRow], new: Sequence[HoursRow]) -> Iterator[str]:
    """That a loud deck may run to the end of the new hours, where it ended before theirs."""
    bench = [row for row in old if row.bench]
    own = [row.loud_until_minutes for row in bench if row.loud_until_minutes is not None]
    until = min(own) if own else end_of_loud(studio, bench[-1] if bench else None)
    longer = [row for row in new if row.bench and row.loud_until_minutes is None]
    if until is not None and any(row.to_minutes > until for row in longer):
        end = clock_words(max(row.to_minutes for row in longer))
        yield f"a loud deck may run until {end} then, not {clock_words(until)}"


def _rows_of(studio: Studio, day: date | str) -> tuple[HoursRow, ...]:
    """The rows that count on that date, or on that weekday where its date has none of its own."""
    if isinstance(day, str):
        return tuple(row for row in studio.hours if day in row.days and not row.off)
    return rows_on(studio, day)
