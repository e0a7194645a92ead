"""Hours as they are typed: ``sat 10:00-18:00 bench home loud 17:00``, ``2026-12-24 off``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import date, timedelta

from core.errors import Unusable
from core.quantities import read_quantity
from core.store.studio.clock_span import clock_span, clock_time
from core.store.studio.fields import HOURS, values_of
from core.store.studio.readers import clock_words
from core.store.studio.toml_part import Part
from core.studio.opening import rows_on
from core.studio.spoken import DAYS, hours_in_english, weekday
from core.studio.studio import HoursRow, Studio
from core.words import day_text, written_day

FLAGS = ("bench", "home", "helper")
LONGEST_DAYS = 400  # no row of dates is longer: a slip in the year
HOW = "give a day and its hours, such as `sat 10:00-18:00 bench home` or `2026-12-24 off`"


def hours_set(studio: Studio, words: Sequence[str], today: date) -> tuple[Studio, date | str]:
    """The studio with that day's hours, and the day that was meant; Unusable where words are wrong."""
    words = day_in_one(words, today)
    if len(words) < 2:
        raise Unusable(f"hours: {HOW}")
    rest = spans_in_one(words[1:])
    first, several, last = words[0].partition("..")
    if several:
        return _several(studio, _ahead(_day(first, today), today), _ahead(_day(last, today), today), rest)
    day = _ahead(_day(words[0], today), today)
    if rest == ["usual"]:
        if isinstance(day, str):
            raise Unusable(f"hours: {day} has only its usual hours: `usual` is for a date")
        return with_rows(studio, day, None), day
    if rest in (["off"], ["away"]):
        return with_rows(studio, day, ()), day
    return with_rows(studio, day, tuple(_rows(day, rest))), day


def spans_in_one(words: Sequence[str]) -> list[str]:
    """The words behind a day with each span as one: ``19 to 21 bench`` as ``19-21``, ``bench``."""
    left, told = hours_in_english(" ".join(words)).split(), []
    while left:
        many = next((many for many in (5, 4, 3, 2) if clock_span(" ".join(left[:many]))), 1)
        told.append((many > 1 and clock_span(" ".join(left[:many]))) or left[0])
        left = left[many:]
    return told


FURTHEST_DAYS = 2 * LONGEST_DAYS  # no plan reaches further


def _ahead(day: date | str, today: date) -> date | str:
    """The day where hours can still be changed: an evening that lasts past midnight is yesterday's."""
    if isinstance(day, date) and day < today - timedelta(days=1):
        raise Unusable(f"hours: {day_text(day)} {day.year} is over: give a date from today on")
    if isinstance(day, date) and day > today + timedelta(days=FURTHEST_DAYS):
        raise Unusable(f"hours: {day_text(day)} {day.year} is further ahead than any plan: look at its year")
    return day


def day_in_one(words: Sequence[str], today: date) -> list[str]:
    """The words with a date at their head that takes several, ``Sun 29 Nov 2026``, as one: ``2026-11-29``."""
    words = [part for word in words for part in word.split()]
    first, several, last = " ".join(words).partition("..")
    if several:  # ``24 Dec..2 Jan off``: both may be written out, and the second is the next such day
        begin, *_ = day_in_one(first.split(), today) or [""]
        with suppress(ValueError):
            today = date.fromisoformat(begin)
        end, *rest = day_in_one(last.split(), today) or [""]
        return [f"{begin}..{_next_called(end, begin)}", *rest]
    for taken in (4, 3, 2):
        day = written_day(" ".join(words[:taken]), today) if len(words) >= taken else None
        if day is not None:
            return [day.isoformat(), *words[taken:]]
    return words


def _next_called(word: str, begin: str) -> str:
    """A weekday behind a date as the next date of that name; any other word as it is."""
    named = weekday(word)
    with suppress(ValueError):
        first = date.fromisoformat(begin)
        if named is not None:
            return (first + timedelta(days=(DAYS.index(named) - first.weekday()) % 7)).isoformat()
    return word


def _several(
    studio: Studio, first: date | str, last: date | str, rest: list[str]
) -> tuple[Studio, date | str]:
    """The same for every date from one to another, as while one is away."""
    if isinstance(first, str) or isinstance(last, str):
        raise Unusable("hours: from one date to another, such as 2026-12-24..2026-12-31")
    if not 0 <= (last - first).days < LONGEST_DAYS:
        raise Unusable(f"hours: {last} is not a date in the year after {first}")
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        studio, _ = hours_set(studio, [day.isoformat(), *rest], first)
    return studio, first


def _day(word: str, today: date) -> date | str:
    plain = word.casefold().rstrip(".,")
    if plain in ("today", "tomorrow"):
        return today + timedelta(days=plain == "tomorrow")
    if (named := weekday(plain)) is not None:
        return named
    try:
        if not re.fullmatch(r"\d{4}-\d\d-\d\d", plain):
            raise ValueError
        return date.fromisoformat(plain)
    except ValueError:
        raise Unusable(
            f"hours: {word!r} is not a date such as 24 Dec or 2026-12-24, or a weekday such as sat"
        ) from None


def helper_span(text: str, there: tuple[str, str] | None) -> tuple[str, str] | None:
    """``until 20:10``, ``from 20:00``, ``19:00-20:10`` as two times of day; None where it is none of them.

    ``there`` is from when until when the helper was to be there, or the evening lasts.
    """
    text = re.sub(r"\b(\d{1,2})(\d\d)\b", r"\1:\2", text) if ":" not in text else text
    word, _, rest = text.strip().casefold().partition(" ")
    if (span := clock_span(text)) is not None:
        first, _, last = span.partition("-")
        return first, last
    at = clock_time(rest)
    if at is None or there is None or word not in _PARTS:
        return None
    return (there[0], at) if word == "until" else (at, there[1])


_PARTS = ("until", "from")


def _helper_part(row: dict[str, object], left: list[str]) -> dict[str, object]:
    """The row of a helper who is there for a part of that one; takes its two words from what is left."""
    span = helper_span(f"{left.pop(0)} {left.pop(0)}", (str(row["from"]), str(row["to"])))
    if span is None:
        raise Unusable("hours: helper until or from a time of day, such as `helper until 20:10`")
    return {"from": span[0], "to": span[1], "helper": True}


def _rows(day: date | str, words: list[str]) -> list[HoursRow]:
    """The rows of those words; a helper for a part of one is a row of its own, since flags join."""
    tables: list[dict[str, object]] = []
    helpers: list[dict[str, object]] = []
    left = [word.rstrip(",;") for word in words if word.rstrip(",;")]
    while left:
        word = left.pop(0)
        if word == "and" and tables:
            continue
        if word == "helper" and tables and len(left) > 1 and left[0] in _PARTS:
            helpers.append(_helper_part(tables[-1], left))
            continue
        if span := clock_span(word):
            tables.append(dict(zip(("from", "to"), span.split("-"), strict=True)))
        elif re.match(r"\d[^-]*-", word):
            raise Unusable(f"hours: {word!r} is not two times of day such as 19:00-22:30")
        elif word in FLAGS and tables:
            tables[-1][word] = True
        elif word == "loud" and tables and left:
            left = left[1:] if left[0] == "until" and len(left) > 1 else left
            typed = left.pop(0).removeprefix("until")
            tables[-1]["loud_until"] = clock_time(typed) or typed
        elif word in FLAGS:
            raise Unusable(f"hours: {word!r} is not hours: they go before it, such as `19:00-22:30 {word}`")
        elif word == "loud":
            raise Unusable("hours: loud needs the time until which a loud deck may run, such as `loud 22:00`")
        else:
            raise Unusable(f"hours: {word!r} is not hours, nor one of {', '.join(FLAGS)}, loud: {HOW}")
    return [_row(day, table) for table in (*tables, *helpers)]


def _row(day: date | str, table: dict[str, object]) -> HoursRow:
    if not any(flag in table for flag in FLAGS):
        table |= {"bench": True, "home": True}
    table |= {"days": [day]} if isinstance(day, str) else {"dates": [day.isoformat()]}
    wrong: list[str] = []
    row = HoursRow(**values_of(Part(table, "hours", wrong, read_quantity), HOURS))
    if wrong:
        raise Unusable("\n".join(wrong))
    return row


def with_rows(studio: Studio, day: date | str, rows: Sequence[HoursRow] | None) -> Studio:
    """The studio with those rows in place of the day's own.

    No rows: nobody is there on it. None, for a date: its weekday's hours hold again.
    """
    left = [one for row in studio.hours if (one := _without(row, day)) is not None]
    if rows is None:
        new: tuple[HoursRow, ...] = ()
    elif rows or isinstance(day, str):
        new = tuple(rows)
    else:
        new = (HoursRow((), (day,), 0, 0, off=True),)
    return replace(studio, hours=(*left, *new))


def _without(row: HoursRow, day: date | str) -> HoursRow | None:
    """The row without that day; None where it held no other."""
    if isinstance(day, str):
        kept = replace(row, days=tuple(one for one in row.days if one != day))
    else:
        kept = replace(row, dates=tuple(one for one in row.dates if one != day))
    return kept if kept.days or kept.dates else None


def hours_told(studio: Studio, first: date, days: int = 14) -> list[str]:
    """The hours of so many days in words, a line a row."""
    lines = []
    for day in (first + timedelta(days=number) for number in range(days)):
        own = any(day in row.dates for row in studio.hours)
        rows = rows_on(studio, day)
        for number, row in enumerate(sorted(rows, key=lambda row: row.from_minutes)):
            name = day_text(day) if number == 0 else ""
            lines.append(f"{name:<12}{row_words(row)}{'  (this date only)' if own else ''}")
        if not rows:
            lines.append(f"{day_text(day):<12}nobody{'  (this date only)' if own else ''}")
    return lines


def row_words(row: HoursRow) -> str:
    """A row as it is typed: ``19:00-22:30 bench home loud 22:00``."""
    flags = [flag for flag in FLAGS if getattr(row, flag)]
    loud = [] if row.loud_until_minutes is None else ["loud", clock_words(row.loud_until_minutes)]
    return " ".join([f"{clock_words(row.from_minutes)}-{clock_words(row.to_minutes)}", *flags, *loud])
