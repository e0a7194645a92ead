"""What was answered about a first studio, read strictly; ValueError says what is right."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date

from core.store.studio.hours_words import hours_set
from core.studio.studio import HoursRow, Studio
from core.tape.tables import Values, table

_A_DAY = date(2026, 1, 1)  # weekdays alone are read here: any date serves
SHORT_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def deck_kinds() -> list[Values]:
    """The kinds of deck of the table, by width and tracks."""
    return [row.values for row in table("presets").values()]


def _with_hours(studio: Studio, text: str, loud: str, flags: tuple[str, ...]) -> Studio:
    """The studio with those hours of the week; a loud deck stops at its time, where that lies in them."""
    rows: dict[tuple[int, int], HoursRow] = {}
    for part in text.split(";"):
        days, times = _day_and_times(part)
        made, _ = hours_set(replace(studio, hours=()), [days[0], times, *flags], _A_DAY)
        row = made.hours[0]
        key = (row.from_minutes, row.to_minutes)
        before = rows.get(key)
        rows[key] = replace(row, days=tuple(dict.fromkeys((*(before.days if before else ()), *days))))
    if loud:
        limit = int(loud[:2]) * 60 + int(loud[3:])
        rows = {
            key: replace(row, loud_until_minutes=limit) if row.from_minutes < limit < row.to_minutes else row
            for key, row in rows.items()
        }
    return replace(studio, hours=tuple(rows.values()))


def _day_and_times(text: str) -> tuple[list[str], str]:
    """``mon-thu 19:00-22:30`` or ``tue, sat 10-18`` as its weekdays and its hours."""
    match = re.fullmatch(r"(.*?)\s+(\d{1,2}(?:[:.]\d\d)?\s*[-\u2013]\s*\d{1,2}(?:[:.]\d\d)?)", text.strip())
    if match is None:
        raise ValueError(_HOURS_RIGHT, text.strip())
    days: list[str] = []
    for part in re.split(r"[,\s]+", match[1].strip()):
        ends = [_weekday(one) for one in re.split(r"[-\u2013]", part)]
        first, last = SHORT_DAYS.index(ends[0]), SHORT_DAYS.index(ends[-1])
        span = range(first, last + 1 if last >= first else last + 8)
        days += [SHORT_DAYS[number % 7] for number in span]
    return list(dict.fromkeys(days)), "".join(match[2].split())


def _weekday(word: str) -> str:
    plain = word.strip().casefold()[:3]
    if plain not in SHORT_DAYS:
        raise ValueError(_HOURS_RIGHT, word.strip())
    return plain


_HOURS_RIGHT = "days and hours such as mon-thu 19:00-22:30; sat 10:00-18:00"


def _hours(text: str) -> str:
    from core.errors import ReelturnError

    for part in text.split(";"):
        days, times = _day_and_times(part)
        empty = Studio("", "UTC")
        try:
            hours_set(empty, [days[0], times], _A_DAY)
        except ReelturnError as error:
            raise ValueError(f"{_HOURS_RIGHT} ({error})", part.strip()) from None
    return text


def _name(text: str) -> str:
    if not (0 < len(text.strip()) <= 40 and text.isprintable()):
        raise ValueError("a name of at most 40 characters")
    return text


def _zone(text: str) -> str:
    from core.clock import zone
    from core.errors import Unusable

    try:
        zone(text)
    except Unusable:
        near = _zones_of(text)
        if near:  # the first of them stands in the line then, for Enter to take
            raise ValueError(f"a time zone: did you mean {' or '.join(near)}?", text, near[0]) from None
        raise ValueError("a time zone: a town that gives one its name, such as Lisbon") from None
    return text


def _zones_of(place: str) -> list[str]:
    """The zones that are called after that place."""
    from zoneinfo import available_timezones

    wanted = "_".join(place.casefold().split())
    named = (one for one in available_timezones() if one.casefold().rpartition("/")[2] == wanted)
    return sorted(named, key=lambda one: (one.count("/") != 1, one))[:2]


def _decks(text: str) -> list[int]:
    most = len(deck_kinds())
    found = [one for one in re.split(r"[,;\s]+", text.strip()) if one]
    if not found or not all(one.isdigit() and 1 <= int(one) <= most for one in found):
        raise ValueError(f"numbers from 1 to {most}, joined by commas")
    return [int(one) for one in found]


def _yes_or_no(text: str) -> bool:
    plain = text.strip().casefold()
    if plain not in ("y", "yes", "n", "no"):
        raise ValueError("yes or no")
    return plain.startswith("y")


def _whole(lowest: int, highest: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        if not re.fullmatch(r"\d{1,4}", text.strip()) or not lowest <= int(text) <= highest:
            raise ValueError(f"a whole number from {lowest} to {highest}")
        return int(text)

    return read


def _clock(text: str) -> str:
    match = re.fullmatch(r"(\d{1,2})(?:[:.](\d\d))?", text.strip())
    if text.strip().casefold() == "never":
        return "never"
    if match is None or int(match[1]) > 24 or int(match[2] or 0) > 59:
        raise ValueError("a time of day such as 22:00, or never")
    return f"{int(match[1]):02}:{match[2] or '00'}"
