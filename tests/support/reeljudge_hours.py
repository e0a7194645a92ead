"""The studio's clock for the judge: local times to instants, and rows of hours to joined spans.

Instants are whole seconds since 1970 UTC. A local time that a clock change repeats is its first; one that the
change skips takes the old offset: both are what fold 0 means (PEP 495).
"""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
Span = tuple[int, int]


def instant(local: datetime, zone: ZoneInfo) -> int:
    """The instant of an aware time, or of a naive one read on the studio's clock."""
    aware = local if local.tzinfo else local.replace(tzinfo=zone, fold=0)
    return int((aware.astimezone(UTC) - datetime(1970, 1, 1, tzinfo=UTC)).total_seconds())


def local_time(moment: int, zone: ZoneInfo) -> datetime:
    """The studio's clock at an instant."""
    return (datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=moment)).astimezone(zone)


def read_time(text: str, zone: ZoneInfo) -> int:
    """The instant of an ISO 8601 time; without an offset it is the studio's."""
    return instant(datetime.fromisoformat(text.strip()), zone)


def _clock(text: str) -> int:
    """Minutes since midnight of `HH:MM`, 24:00 allowed."""
    if not re.fullmatch(r"\d\d:\d\d", text):
        raise ValueError(f"{text!r} is no time of day")
    hour, minute = int(text[:2]), int(text[3:])
    if minute > 59 or hour * 60 + minute > 1440:
        raise ValueError(f"{text!r} is no time of day")
    return hour * 60 + minute


def _at(day: date, clock: int, zone: ZoneInfo) -> int:
    """The instant of so many clock minutes after a day's midnight, past 1440 on the next day."""
    later = day + timedelta(days=clock // 1440)
    return instant(datetime(later.year, later.month, later.day, clock % 1440 // 60, clock % 60), zone)


@dataclass(frozen=True, slots=True)
class HoursRow:
    """One row of hours: when it holds and what it allows."""

    days: frozenset[str]
    dates: frozenset[date]
    off: bool
    start: int
    end: int
    loud: int
    bench: bool
    home: bool
    helper: bool


def hours_row(raw: dict[str, object]) -> HoursRow:
    """A row of `[[hours]]`; ValueError for hours that cannot be."""
    days = frozenset(str(day).casefold() for day in raw.get("days", ()))  # type: ignore[attr-defined]
    dates = frozenset(date.fromisoformat(str(day)) for day in raw.get("dates", ()))  # type: ignore[attr-defined]
    if days - set(DAYS):
        raise ValueError(f"unknown days {sorted(days - set(DAYS))}")
    if raw.get("off"):
        return HoursRow(days, dates, True, 0, 0, 0, False, False, False)
    start, end = _clock(str(raw["from"])), _clock(str(raw["to"]))
    loud = _clock(str(raw.get("loud_until", raw["to"])))
    if end <= start:
        end += 1440
        if end - start > 18 * 60:
            raise ValueError(f"a row from {raw['from']} to {raw['to']} of the next day is over 18 hours long")
    if loud <= start:
        loud += 1440
    return HoursRow(
        days,
        dates,
        False,
        start,
        end,
        loud,
        bool(raw.get("bench")),
        bool(raw.get("home")),
        bool(raw.get("helper")),
    )


def join(spans: list[Span]) -> list[Span]:
    """Spans that overlap or touch become one; empty ones go."""
    joined: list[Span] = []
    for start, end in sorted(span for span in spans if span[1] > span[0]):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return joined


@dataclass(frozen=True, slots=True)
class Hours:
    """Joined spans of bench, home, helper and loud time around a horizon."""

    bench: list[Span]
    home: list[Span]
    helper: list[Span]
    loud: list[Span]


def next_night(moment: int, zone: ZoneInfo) -> int:
    """The first 04:00 of the studio's clock that is not before *moment*."""
    day = local_time(moment, zone).date()
    night = _at(day, 240, zone)
    return night if night >= moment else _at(day + timedelta(days=1), 240, zone)


def outside(start: int, end: int, spans: list[Span]) -> int:
    """Seconds of [start, end] in none of *spans*, which are joined."""
    return max(0, end - start) - sum(max(0, min(end, stop) - max(start, begin)) for begin, stop in spans)


def whole_windows(rows: list[HoursRow], zone: ZoneInfo, start: int, end: int, endless: int) -> Hours:
    """The hours around a horizon, so far around that no run of bench time is cut; it may be *endless*."""
    days = 2
    while True:
        found = spread(rows, zone, start, end, days)
        first, last = start - (days - 1) * 86400, end + (days - 1) * 86400
        cut = any(
            (one[0] < first or one[1] > last) and one[0] < end and one[1] > start for one in found.bench
        )
        if not cut or days * 86400 > endless:
            return found
        days *= 4


def spread(rows: list[HoursRow], zone: ZoneInfo, start: int, end: int, around: int = 2) -> Hours:
    """The hours of every day from *around* days before *start* to so many after *end*."""
    kinds: dict[str, list[Span]] = {"bench": [], "home": [], "helper": [], "loud": []}
    day = local_time(start, zone).date() - timedelta(days=around)
    last = local_time(end, zone).date() + timedelta(days=around)
    while day <= last:
        own = [row for row in rows if day in row.dates]
        for row in own or [row for row in rows if DAYS[day.weekday()] in row.days]:
            if row.off:
                continue
            begin, stop = _at(day, row.start, zone), _at(day, row.end, zone)
            for kind in ("bench", "home", "helper"):
                if getattr(row, kind):
                    kinds[kind].append((begin, stop))
            if row.bench:
                kinds["loud"].append((begin, _at(day, row.loud, zone)))
        day += timedelta(days=1)
    return Hours(*(join(kinds[kind]) for kind in ("bench", "home", "helper", "loud")))


def holder(spans: list[Span], start: int, end: int) -> Span | None:
    """The span that holds all of [start, end], if one does."""
    for span in spans:
        if span[0] <= start and end <= span[1]:
            return span
    return None
