"""Dates, hours and lists in the words of the planner's sentences."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from core.words import day_text

_DAYS = ("Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays")

LENGTH_TELLS = ("its reel's size with the tape's thickness", "`assume_length` in studio.toml")
"""What may stand in place of a length."""


def moment(when: datetime) -> str:
    """``Tue 1 Dec 19:05``."""
    return f"{day_text(when.date())} {when:%H:%M}"


def listed(words: Sequence[str], most: int = 3) -> str:
    """``a``, ``a and b``, ``a, b and 4 more``."""
    if len(words) > most:
        return f"{', '.join(words[: most - 1])} and {len(words) - most + 1} more"
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part) if words else ""


def only_on(days: Iterable[date], all_days: Iterable[date]) -> str:
    """``on Tuesdays`` where those are all Tuesdays among all days; else the dates themselves."""
    some, there = {*days}, {*all_days}
    of_these = {one for one in there if one.weekday() in {day.weekday() for day in some}}
    if some == of_these:
        return f"on {weekdays(some)}"
    return f"on {listed([day_text(one) for one in sorted(some)], most=3)}"


def weekdays(days: Iterable[date]) -> str:
    """``Saturdays``, ``Tuesdays and Thursdays``: the weekdays of these dates."""
    return listed([_DAYS[n] for n in sorted({one.weekday() for one in days})], most=7)
