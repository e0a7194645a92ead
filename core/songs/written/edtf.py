"""Dates as EDTF writes them (ISO 8601-2:2019): days, months, seasons, parts of a year, decades."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterator
from datetime import date, timedelta

from core.values import dataclass

_SEASON_MONTHS = {21: (3, 5), 22: (6, 8), 23: (9, 11), 24: (12, 14)}
PARTS_OF_A_YEAR = {33: (1, 3), 34: (4, 6), 35: (7, 9), 36: (10, 12), 37: (1, 4), 38: (5, 8), 39: (9, 12),
                    40: (1, 6), 41: (7, 12)}  # fmt: skip
"""EDTF's quarters, thirds and halves: first and last month."""


@dataclass(frozen=True, slots=True)
class Dated:
    """One reading: its EDTF text, and the first and last day it may mean."""

    edtf: str
    first: date
    last: date

    def meets(self, other: Dated) -> bool:
        """True where both may be the same day."""
        return self.first <= other.last and other.first <= self.last

    def days_apart(self, other: Dated) -> int:
        """Days between the two stretches; 0 where they meet."""
        if self.meets(other):
            return 0
        return (other.first - self.last if self.last < other.first else self.first - other.last).days


def a_day(year: int, month: int, day: int) -> Iterator[Dated]:
    """That day, where there is one."""
    if 1 <= month <= 12 and 1 <= day <= monthrange(year, month)[1]:
        there = date(year, month, day)
        yield Dated(there.isoformat(), there, there)


def a_month(year: int, month: int) -> Dated:
    """That whole month."""
    return Dated(f"{year}-{month:02}", date(year, month, 1), date(year, month, monthrange(year, month)[1]))


def a_season(year: int, season: int) -> Dated:
    """A season by its number; a winter is of either end of its year."""
    first, last = _SEASON_MONTHS[season]
    end = date(year + last // 12, last % 12 + 1, 1) if last > 11 else date(year, last + 1, 1)
    begin = date(year, 1, 1) if season == 24 else date(year, first, 1)  # of either end of the year
    return Dated(f"{year}-{season}", begin, end - timedelta(days=1))


def a_part(year: int, part: int) -> Dated:
    """A quarter, a third or a half of a year by its number."""
    first, last = PARTS_OF_A_YEAR[part]
    return Dated(f"{year}-{part}", date(year, first, 1), a_month(year, last).last)


def edtf(text: str) -> Iterator[Dated]:
    """The reading of a text that is EDTF; none where it is not."""
    if match := re.fullmatch(r"(\d{4})-(\d\d)-(\d\d)", text):
        yield from a_day(int(match[1]), int(match[2]), int(match[3]))
    elif match := re.fullmatch(r"(\d{4})-(\d\d)", text):
        year, month = int(match[1]), int(match[2])
        if 1 <= month <= 12:
            yield a_month(year, month)
        elif 21 <= month <= 24:
            yield a_season(year, month)
        elif month in PARTS_OF_A_YEAR:
            yield a_part(year, month)
    elif match := re.fullmatch(r"(\d{4})-(\d\d|XX)(-XX)?", text):
        year = int(match[1])
        first, last = (1, 12) if match[2] == "XX" else (int(match[2]), int(match[2]))
        yield Dated(text, date(year, first, 1), a_month(year, last).last)
    elif match := re.fullmatch(r"(\d{4}-\d\d-\d\d)T[\d:.]+(?:Z|[+-]\d\d(?::\d\d)?)?", text):
        yield from edtf(match[1])
    elif match := re.fullmatch(r"(\d{3})[Xx]", text):
        yield Dated(f"{match[1]}X", date(int(match[1] + "0"), 1, 1), date(int(match[1] + "9"), 12, 31))
