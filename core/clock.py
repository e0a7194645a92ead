"""Times as values: aware moments, elapsed hours, spans, and what a clock change does to them.

Every moment is an aware ``datetime`` in the studio's zone. Adding a ``timedelta`` to such a value moves
the *clock*, not the time, so all arithmetic here goes through UTC. Nothing here asks what time it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta, tzinfo
from fractions import Fraction
from functools import lru_cache

from core.values import dataclass

_TIME = re.compile(r"(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d(?::\d\d(?:\.\d+)?)?)(Z|[+-]\d\d:?\d\d)?$")

NIGHT_ENDS = 4  # o'clock: until then the evening before goes on


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of time from ``start`` to ``end``, the end not included."""

    start: datetime
    end: datetime

    @property
    def minutes(self) -> Fraction:
        """Elapsed minutes."""
        return minutes_between(self.start, self.end)

    def holds(self, start: datetime, end: datetime) -> bool:
        """True if all of [start, end] lies inside."""
        return self.start <= start and end <= self.end


def later(moment: datetime, *, hours: Fraction | int = 0, minutes: Fraction | int = 0) -> datetime:
    """The moment that many elapsed hours and minutes later, in the same zone."""
    seconds = Fraction(hours) * 3600 + Fraction(minutes) * 60
    step = timedelta(microseconds=round(seconds * 1_000_000))
    return (moment.astimezone(UTC) + step).astimezone(moment.tzinfo)


def minutes_between(start: datetime, end: datetime) -> Fraction:
    """Elapsed minutes from start to end, exact to the microsecond."""
    gone = end.astimezone(UTC) - start.astimezone(UTC)
    return Fraction((gone.days * 86_400 + gone.seconds) * 1_000_000 + gone.microseconds, 60_000_000)


@lru_cache(maxsize=4096)
def at_wall(day: date, minutes: int, where: tzinfo) -> datetime:
    """The moment when the clock on the wall shows ``minutes`` past midnight of ``day``.

    Minutes may pass 24 h. In an hour that a clock change repeats it is the first; a time that the change
    skips keeps the offset from before it.
    """
    wall = datetime(day.year, day.month, day.day) + timedelta(minutes=minutes)
    return wall.replace(tzinfo=where).astimezone(UTC).astimezone(where)


def days_later(moment: datetime, days: int) -> datetime:
    """The same time on the clock, that many dates later (or earlier)."""
    wall = moment.replace(tzinfo=None, fold=0) + timedelta(days=days)
    return wall.replace(tzinfo=moment.tzinfo).astimezone(UTC).astimezone(moment.tzinfo)


def days_to_reach(until: datetime, start: datetime) -> int:
    """The whole dates from ``start`` on that reach ``until``, at least one: no hour of it is lost."""
    days = max(1, (until.date() - start.astimezone(until.tzinfo).date()).days)
    return days if days_later(start, days) >= until else days + 1


def evening_of(moment: datetime) -> date:
    """The date to which that moment's evening belongs: it goes on until four in the morning."""
    return (moment.replace(tzinfo=None, fold=0) - timedelta(hours=NIGHT_ENDS)).date()


def grid_ceiling(moment: datetime, grid_minutes: int) -> datetime:
    """The first moment at or after ``moment`` at which the studio's clock shows a multiple of the grid."""
    past = (moment.minute % grid_minutes) * 60 + moment.second + Fraction(moment.microsecond, 1_000_000)
    return moment if past == 0 else later(moment, minutes=grid_minutes - past / 60)


#: Magnetic tape is of the 1930s; far beyond these years a date cannot be reckoned with at all.
FIRST_YEAR, LAST_YEAR = 1900, 2999
#: Nobody tells of a load or of a stage that lies further ahead; no plan reaches as far.
YEARS_AHEAD = 4


def read_time(text: str, where: tzinfo) -> datetime:
    """Reads ``YYYY-MM-DDTHH:MM`` with or without an offset, into the studio's zone.

    Without an offset it is the studio's clock: a time that a clock change skips is refused, one that it
    repeats is the first of the two. Raises ValueError with what would be right.
    """
    match = _TIME.match(text.strip())
    right = "a time as 2026-12-01T19:30"
    if match is None:
        raise ValueError(right)
    try:
        wall = datetime.fromisoformat(f"{match[1]}T{match[2]}{match[3] or ''}")
        moment = (wall if match[3] else wall.replace(tzinfo=where)).astimezone(UTC).astimezone(where)
    except (ValueError, OverflowError) as error:
        raise ValueError(right) from error
    if not match[3] and moment.replace(tzinfo=None, fold=0) != wall:
        raise ValueError(f"a time that exists: the clock change skips {text}")
    return _of_our_days(moment)


def _of_our_days(moment: datetime) -> datetime:
    """The moment; ValueError for a year in which no tape was played or will be."""
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise ValueError(f"a time in the years {FIRST_YEAR} to {LAST_YEAR}")
    return moment


def years_ahead(moment: datetime, now: datetime) -> str:
    """What would be right where a moment lies years ahead, a slip in its year; empty for any other."""
    return (
        f"a time within {YEARS_AHEAD} years: look at its year" if moment.year > now.year + YEARS_AHEAD else ""
    )


def years_ago(moment: datetime, now: datetime) -> str:
    """The same of a moment that lies as many years back, where what began then runs still."""
    return (
        f"a time within {YEARS_AHEAD} years: look at its year" if moment.year < now.year - YEARS_AHEAD else ""
    )


def write_time(moment: datetime) -> str:
    """ISO 8601 with offset, to the minute where nothing finer is there."""
    finer = moment.second or moment.microsecond
    return moment.isoformat(timespec="auto" if finer else "minutes")


def joined(spans: Iterable[Span]) -> tuple[Span, ...]:
    """The same stretches of time, in order, those that overlap or touch made one, empty ones gone."""
    out: list[Span] = []
    for span in sorted(s for s in spans if s.start < s.end):
        if out and span.start <= out[-1].end:
            out[-1] = Span(out[-1].start, max(out[-1].end, span.end))
        else:
            out.append(span)
    return tuple(out)


def clipped(spans: Iterable[Span], start: datetime, end: datetime) -> tuple[Span, ...]:
    """What of the spans lies inside [start, end]."""
    return tuple(
        Span(max(s.start, start), min(s.end, end)) for s in spans if max(s.start, start) < min(s.end, end)
    )


def clock_seconds(text: str) -> Fraction:
    """Reads a length of time, ``m:ss`` or ``h:mm:ss`` with decimals allowed, as seconds; ValueError else."""
    match = re.fullmatch(r"(?:(\d+):)?(\d{1,3}):(\d\d(?:\.\d+)?)", text.strip())
    if match is None or Fraction(match[3]) >= 60 or (match[1] and int(match[2]) >= 60):
        raise ValueError("a length of time as 12:30 or 1:02:30")
    return int(match[1] or 0) * 3600 + int(match[2]) * 60 + Fraction(match[3])


def clock_text(seconds: Fraction | float) -> str:
    """Writes seconds as ``m:ss`` or ``h:mm:ss``, with decimals only where there are any."""
    exact = Fraction(seconds).limit_denominator(1000)
    whole, rest = divmod(exact, 1)
    hours, left = divmod(int(whole), 3600)
    minutes, left = divmod(left, 60)
    tail = f"{float(rest):.3f}".rstrip("0")[1:] if rest else ""
    return f"{hours}:{minutes:02}:{left:02}{tail}" if hours else f"{minutes}:{left:02}{tail}"


def minutes_text(seconds: Fraction | float) -> str:
    """Writes seconds as ``m:ss`` beyond an hour too, as sides of records and discs are told: ``74:00``."""
    minutes, left = divmod(round(Fraction(seconds)), 60)
    return f"{minutes}:{left:02}"
