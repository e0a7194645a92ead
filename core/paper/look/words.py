"""Moments and amounts as the paper says them: one way, on every sheet."""

from __future__ import annotations

import re
from datetime import date, datetime
from fractions import Fraction

from core.clock import clock_text
from core.paper.look.line_order import said
from core.words import day_text


def day_and_year(of: date) -> str:
    """``Tue 1 Dec 2026``."""
    return f"{day_text(of)} {of.year}"


def clock(moment: datetime, evening: date | None = None, offset_of: datetime | None = None) -> str:
    """``19:05``; with the day where it is another, with the zone's name across a clock change."""
    words = f"{moment:%H:%M}"
    if offset_of is not None and moment.utcoffset() != offset_of.utcoffset():
        words += f" {moment.tzname()}"
    if evening is not None and moment.date() != evening:
        words += f" {day_text(moment.date())}"
    return words


def day_and_clock(moment: datetime) -> str:
    """``Tue 1 Dec 2026 19:05``."""
    return f"{day_and_year(moment.date())} {moment:%H:%M}"


def short_moment(moment: datetime) -> str:
    """``Tue 1 Dec 19:05``."""
    return f"{day_text(moment.date())} {moment:%H:%M}"


def whole_seconds(seconds: Fraction | float) -> str:
    """A length of time to the second: ``33:20``."""
    return clock_text(round(seconds))


def warmth(typed: str) -> str:
    """A temperature as typed, with the degree sign: ``54 °C``."""
    return re.sub(r"\bdeg\s?([CF])\b", r"°\1", said(typed))


def size_of(number: int) -> str:
    """Bytes in words: ``9.2 GB`` (thousands, as disks are sold)."""
    amount, unit = float(number), "B"
    for unit in ("B", "kB", "MB", "GB", "TB"):
        if amount < 1000 or unit == "TB":
            break
        amount /= 1000
    return f"{amount:.0f} {unit}" if amount >= 100 or unit == "B" else f"{amount:.1f} {unit}"
