"""Dates as they stand on sheets and boxes, read as EDTF (ISO 8601-2:2019): every reading that it allows.

``1.2.80`` is the first of February and the second of January, and both are kept, unless a weekday tells
which. Seasons are EDTF's 21 to 24, ``early``, ``mid`` and ``late`` its thirds of a year, 37 to 39. A winter
reaches into the next year. Two digits are a year of the 1900s from 30 on, else of the 2000s.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterator, Sequence
from datetime import date

from core.songs.written.edtf import PARTS_OF_A_YEAR, Dated, a_day, a_month, a_part, a_season, edtf

_MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_THIRDS = {"early": 37, "mid": 38, "middle of": 38, "late": 39, "end of": 39}
_SEASONS = {"spring": 21, "summer": 22, "autumn": 23, "fall": 23, "winter": 24}
_ABOUT = re.compile(r"^(?:c\.?|ca\.?|circa|about|around|approx\.?)\s+|[~]$", re.IGNORECASE)
_BOTH = re.compile(r"%$")
_WEEKDAY = re.compile(r"^(mon|tue|wed|thu|fri|sat|sun)[a-z]{0,6}\.?,? +", re.IGNORECASE)
_UNSURE = re.compile(r"\?$|^(?:probably|perhaps|maybe)\s+", re.IGNORECASE)


def read_date(text: str) -> tuple[Dated, ...]:
    """Every reading of a date as written; none where it is no date that we know."""
    words = " ".join(text.strip().strip("'\u2019").split())
    mark = ""
    for pattern, sign in ((_BOTH, "%"), (_UNSURE, "?"), (_ABOUT, "~")):
        if pattern.search(words):
            words, mark = pattern.sub("", words).strip(), mark or sign
    weekday = _WEEKDAY.match(words)
    words = _WEEKDAY.sub("", words)
    for reader in (_interval, _days, edtf, _season, _third, _figures, _named, _year):
        try:
            found = tuple(dict.fromkeys(reader(words)))
        except (ValueError, OverflowError):  # a year that no calendar has
            return ()
        if found:
            return tuple(_marked(one, mark) for one in _on_the_day(found, weekday[1] if weekday else ""))
    return ()


def certainly_before(one: str, other: str) -> bool:
    """True where by every reading of both the first date ends before the second begins."""
    mine, others = read_date(one), read_date(other)
    return bool(mine and others) and all(a.last < b.first for a in mine for b in others)


def nearest_days(one: str, other: str) -> int | None:
    """Days between two dates by the readings that lie nearest; None where one cannot be read."""
    return min((a.days_apart(b) for a in read_date(one) for b in read_date(other)), default=None)


def _on_the_day(found: tuple[Dated, ...], weekday: str) -> tuple[Dated, ...]:
    """Of several days those that fall on that weekday; all where none does."""
    if not weekday or len(found) < 2:
        return found
    number = _WEEKDAYS.index(weekday.casefold())
    return tuple(one for one in found if one.first == one.last and one.first.weekday() == number) or found


def _marked(one: Dated, mark: str) -> Dated:
    return Dated(one.edtf + mark, one.first, one.last) if mark else one


def _year_of(text: str) -> int:
    if len(text) == 4:
        return int(text)
    short = int(text.strip("'\u2019"))
    return 1900 + short if short >= 30 else 2000 + short


def _interval(text: str) -> Iterator[Dated]:
    """An EDTF interval, years joined by a stroke, and a winter of two years."""
    if match := re.fullmatch(r"winter (\d{4}|'?\d\d)\s*[/-]\s*(\d{4}|'?\d\d)", text, re.IGNORECASE):
        one, two = _year_of(match[1]), _year_of(match[2])
        if two == one + 1:
            end = date(two, 2, monthrange(two, 2)[1])
            yield Dated(f"{one}-12/{two}-02", date(one, 12, 1), end)
        return
    if match := re.fullmatch(r"(\d{4})\s*[/-]\s*(\d\d)", text):
        one, two = int(match[1]), _year_of(match[1][:2] + match[2])
        if "/" not in text and int(match[2]) in PARTS_OF_A_YEAR:
            yield a_part(one, int(match[2]))
        if two > one and ("/" in text or int(match[2]) > 24):
            yield Dated(f"{one}/{two}", date(one, 1, 1), date(two, 12, 31))
        return
    first, stroke, second = text.partition("/")
    if stroke and all(len(end) >= 4 or end in ("", "..") for end in (first, second)) and first + second:
        begins = [Dated(first, date.min, date.min)] if first in ("", "..") else list(_end(first))
        ends = [Dated(second, date.max, date.max)] if second in ("", "..") else list(_end(second))
        if begins and ends and begins[0].first <= ends[0].last:
            yield Dated(f"{begins[0].edtf}/{ends[0].edtf}", begins[0].first, ends[0].last)


def _end(text: str) -> Iterator[Dated]:
    for reader in (edtf, _year):
        yield from reader(text.rstrip("?~%"))


def _days(text: str) -> Iterator[Dated]:
    """Two days of one month: ``1.-3.2.80``, ``12/13 May 1981``."""
    between = r"\s*(?:-|\u2013|/|&|\+|and|to)\s*"
    if match := re.fullmatch(
        rf"(\d{{1,2}})\.?{between}(\d{{1,2}})(\.\s*\d{{1,2}}\..*|\.? [a-z].*)", text, re.I
    ):
        lasts = (
            list(_figures(match[2] + match[3])) if match[3][0] == "." else list(_named(match[2] + match[3]))
        )
        for last in lasts[:1]:
            begins = last.first.replace(day=int(match[1]))
            if begins < last.first:
                yield Dated(f"{begins.isoformat()}/{last.edtf}", begins, last.last)


def _third(text: str) -> Iterator[Dated]:
    match = re.fullmatch(r"(early|mid|middle of|late|end of)[ -](\d{4}|'?\d\d)", text, re.IGNORECASE)
    if match:
        yield a_part(_year_of(match[2]), _THIRDS[match[1].casefold()])


def _season(text: str) -> Iterator[Dated]:
    match = re.fullmatch(r"([a-z]+)(?: of)?,? (\d{4}|'?\d\d)", text, re.IGNORECASE)
    if match and match[1].casefold() in _SEASONS:
        yield a_season(_year_of(match[2]), _SEASONS[match[1].casefold()])


def _figures(text: str) -> Iterator[Dated]:
    """Day and month in figures: both orders, where both are days; with the month alone, that month."""
    if match := re.fullmatch(r"(\d{1,2})\s*[./-]\s*(\d{1,2})\s*[./-]\s*(\d{4}|'?\d\d)", text):
        one, two, year = int(match[1]), int(match[2]), _year_of(match[3])
        yield from a_day(year, two, one)
        yield from a_day(year, one, two)
    elif match := re.fullmatch(r"(\d{1,2})\s*[./]\s*(\d{4})", text):
        if 1 <= int(match[1]) <= 12:
            yield a_month(int(match[2]), int(match[1]))


def _named(text: str) -> Iterator[Dated]:
    """A month by its name, with or without a day before or after it."""
    ending = r"(?:st|nd|rd|th)?"
    year = r"(\d{4}|'?\d\d)"
    if match := re.fullmatch(rf"(?:(\d{{1,2}}){ending}\.? )?([a-z]{{3,9}})\.?,? {year}", text, re.IGNORECASE):
        day, name, when = match[1], match[2], match[3]
    elif match := re.fullmatch(rf"([a-z]{{3,9}})\.? (\d{{1,2}}){ending},? {year}", text, re.IGNORECASE):
        day, name, when = match[2], match[1], match[3]
    else:
        return
    short = "sep" if name.casefold() == "sept" else name.casefold()
    month = next((number for number, one in enumerate(_MONTHS, 1) if one.startswith(short)), 0)
    if not month:
        return
    if day:
        yield from a_day(_year_of(when), month, int(day))
    else:
        yield a_month(_year_of(when), month)


def _year(text: str) -> Iterator[Dated]:
    if match := re.fullmatch(r"(\d{4})", text):
        yield Dated(match[1], date(int(match[1]), 1, 1), date(int(match[1]), 12, 31))
    elif match := re.fullmatch(r"(?:the )?'?(\d)0'?s", text):
        decade = _year_of(match[1] + "0") // 10
        yield Dated(f"{decade}X", date(decade * 10, 1, 1), date(decade * 10 + 9, 12, 31))
    elif match := re.fullmatch(r"(?:the )?(\d{3})0'?s", text):
        yield Dated(f"{match[1]}X", date(int(match[1] + "0"), 1, 1), date(int(match[1] + "9"), 12, 31))
    elif re.fullmatch(r"'?\d\d", text):
        year = _year_of(text)
        yield Dated(str(year), date(year, 1, 1), date(year, 12, 31))


def several_dates(sheet: str, dates: Sequence[str]) -> str:
    """The line that names a sheet whose rows have several dates, and says what would do."""
    return (
        f"sheet {sheet} has {len(dates)} dates ({'; '.join(dates)}): a sheet has one, "
        f"reelturn set {sheet} date=... gives it to all its rows"
    )
