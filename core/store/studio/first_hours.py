"""Hours of the week as they are first answered: ``mon-thu 19:00-22:30; sat 10-18``, read strictly."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date

from core.errors import ReelturnError
from core.store.studio.clock_span import clock_span
from core.store.studio.first_answers import joined
from core.store.studio.hours_words import hours_set
from core.studio.spoken import DAYS, hours_in_english, says_nobody, weekday
from core.studio.studio import HoursRow, Studio

_A_DAY = date(2026, 1, 1)  # weekdays alone are read here: any date serves
SAME = "the same hours"
NOBODY = "not known yet"
_SPANS = {"daily": "mon-sun", "weekdays": "mon-fri", "weekends": "sat-sun"}
_RIGHT = "days and hours such as mon-thu 19:00-22:30; sat 10-13, 15-18"


def hours_answer(usual: str = "") -> Callable[[str], object]:
    """What checks such an answer; days alone have the hours that ``usual`` gives them, where it is told."""

    def check(text: str) -> object:
        return hours_rows(text, ("home",), usual)

    return check


def helper_answer(usual: str) -> Callable[[str], object]:
    """The same for somebody who comes, of whom it may not be known when."""
    check = hours_answer(usual)
    return lambda text: None if is_nobody(text) else check(text)


def is_nobody(text: str) -> bool:
    """Whether that tells no hours, in any of the words for it."""
    return says_nobody(text)


def hours_rows(text: str, flags: tuple[str, ...], usual: str = "") -> tuple[HoursRow, ...]:
    """The rows of those hours, a row for equal ones; ValueError says what is right, and which part is not.

    ``the same hours`` are those of ``usual``.
    """
    if usual and text.strip().casefold() in (SAME, "the same", "same"):
        text = usual
    try:
        return _rows_of(text, flags, usual)
    except ValueError as error:  # which part it is, as it was typed
        right, *wrong = error.args
        typed = (one.strip() for one in text.split(";") if wrong and wrong[0] in _as_listed(one))
        raise ValueError(right, next(typed, text.strip())) from None


def _rows_of(text: str, flags: tuple[str, ...], usual: str) -> tuple[HoursRow, ...]:
    rows: dict[tuple[int, int], HoursRow] = {}
    behind_a_time = r"(?<=[\dm.])\s*,\s*(?=[^\W\d])"  # there a comma serves too
    for part in re.split(f";|{behind_a_time}", _as_listed(text)):
        spoken, *more = re.split(r",\s*(?=\d)", part)  # mon-fri 7-8:30, 17-23:30
        days, times = _days(spoken)
        found = [_row(days, one, part) for one in (times, *more)] if times else _usual_of(days, part, usual)
        _add(rows, found, flags)
    return tuple(rows.values())


def _as_listed(text: str) -> str:
    """Days as they are spoken with the signs of a list: ``mon to wed and every Sat`` as ``mon-wed, Sat``."""
    spoken = re.sub(r"\bevery\s+", "", joined(hours_in_english(text)), flags=re.IGNORECASE)
    return re.sub(r"(?<=[^\W\d])\s+to\s+(?=[^\W\d])", "-", spoken, flags=re.IGNORECASE)


def _add(rows: dict[tuple[int, int], HoursRow], new: list[HoursRow], flags: tuple[str, ...]) -> None:
    for row in new:
        key = (row.from_minutes, row.to_minutes)
        days = (*rows[key].days, *row.days) if key in rows else row.days
        told = {flag: flag in flags for flag in ("bench", "home", "helper")}
        rows[key] = HoursRow(tuple(dict.fromkeys(days)), (), *key, **told)


def _row(days: list[str], times: str, part: str) -> HoursRow:
    span = clock_span(times)
    if span is None:
        raise ValueError(_RIGHT, part.strip())
    try:
        made, _ = hours_set(Studio("", "UTC"), [days[0], span], _A_DAY)
    except ReelturnError as error:
        raise ValueError(f"{_RIGHT} ({error})", part.strip()) from None
    return replace(made.hours[0], days=tuple(days))


def _usual_of(days: list[str], part: str, usual: str) -> list[HoursRow]:
    """The usual hours of those days; ValueError where one of them has none."""
    there = hours_rows(usual, ()) if usual else ()
    bare = [day for day in days if not any(day in row.days for row in there)]
    if bare:
        right = f"{_RIGHT}: you are not at the bench on {bare[0]}, so give its hours" if usual else _RIGHT
        raise ValueError(right, part.strip())
    kept = [(row, tuple(day for day in row.days if day in days)) for row in there]
    return [replace(row, days=own) for row, own in kept if own]


def _days(text: str) -> tuple[list[str], str]:
    """``mon-thu 19:00-22:30`` or ``tue, sat`` as its weekdays and what stands behind them."""
    match = re.fullmatch(r"(\D+?)\s*(\d[^,]*)?", text.strip())
    if match is None:
        raise ValueError(_RIGHT, text.strip())
    days: list[str] = []
    for part in re.split(r"[,\s]+", re.sub(r"\s*[-\N{EN DASH}]\s*", "-", match[1].strip().casefold())):
        ends = [_weekday(one, text) for one in _SPANS.get(part, part).split("-")]
        first, last = DAYS.index(ends[0]), DAYS.index(ends[-1])
        span = range(first, last + 1 if last >= first else last + 8)
        days += [DAYS[number % 7] for number in span]
    return list(dict.fromkeys(days)), match[2] or ""


def _weekday(word: str, text: str) -> str:
    """``tu``, ``tue`` or ``tuesday`` as ``tue``."""
    if (day := weekday(word)) is None:
        raise ValueError(_RIGHT, text.strip())
    return day
