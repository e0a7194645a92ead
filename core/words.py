"""Dates, stretches of time and numbers in words: one way, on every face."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction


def day_text(day: date, beside: date | None = None) -> str:
    """A date in a sentence: ``Tue 1 Dec``; with its year where it lies far from ``beside``."""
    return f"{day:%a} {date_text(day, beside)}"


def date_text(day: date, beside: date | None = None) -> str:
    """A date without its weekday: ``1 Dec``; ``1 Dec 2027`` where it lies far from ``beside``."""
    far = beside is not None and abs((day - beside).days) > _FAR_DAYS
    return f"{day.day} {day:%b}{f' {day.year}' if far else ''}"


_FAR_DAYS = 300  # from here on a date without its year is taken for another one


_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def written_day(text: str, today: date) -> date | None:
    """The date that a text is as we write dates: ``29 Nov``, ``Sun 29 Nov``, ``29 Nov 2026``; None else.

    Without a year it is the next one, today counted. A weekday that is not that date's makes it no date.
    """
    plain = " ".join(text.casefold().replace(",", " ").replace(".", " ").split())
    match = re.fullmatch(r"(?:([a-z]{3,9}) )?(\d{1,2}) ([a-z]{3,9})(?: (\d{4}))?", plain)
    month = next((n for n, name in enumerate(_MONTHS, 1) if match and match[3].startswith(name)), 0)
    if match is None or not month:
        return None
    years = [int(match[4])] if match[4] else range(today.year, today.year + 5)  # a 29 Feb is seldom
    for year in years:
        try:
            day = date(year, month, int(match[2]))
        except ValueError:
            continue
        if match[4] or day >= today:
            named = match[1] is None or _DAYS[day.weekday()].startswith(match[1])
            return day if named else None
    return None


def day_meant(word: str, today: date) -> date:
    """The date of a word: a date, today, tomorrow, or the next day of that name; ValueError else."""
    plain = word.casefold().rstrip(".,")
    if plain in ("today", "tonight", "tomorrow"):
        return today + timedelta(days=plain == "tomorrow")
    ahead = (today + timedelta(days=n) for n in range(7))
    named = next((day for day in ahead if len(plain) >= 3 and f"{day:%A}".casefold().startswith(plain)), None)
    if named is not None:
        return named
    try:
        return written_day(word, today) or date.fromisoformat(plain)
    except ValueError:
        raise ValueError("a day such as thu, or a date such as 24 Dec or 2026-12-24") from None


def hours_text(minutes: Fraction | int) -> str:
    """A stretch of time as ``8 h``, ``1 h 30``, ``45 min``."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02}" if rest else f"{hours} h"


def counted(number: int, one: str, many: str = "") -> str:
    """``1 pass``, ``2 passes``; without ``many`` it ends in an s."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def often(times: int) -> str:
    """``once``, ``6 times``."""
    return "once" if times == 1 else f"{times} times"


def size_words(size: int) -> str:
    """Bytes as ``512 B``, ``22.1 MB``, ``9.2 GB``."""
    for unit, large in (("GB", 10**9), ("MB", 10**6), ("kB", 10**3)):
        if size >= large:
            return f"{size / large:.1f} {unit}"
    return f"{size} B"


def no_room(size: int, free: int) -> str:
    """Why a folder cannot be filled, and what would do."""
    lacks = size_words(size - free)
    return (
        f"{size_words(size)} are needed, {size_words(free)} are free there: make {lacks} of room, or name a "
        "folder on another disk"
    )


def above_best(gap: float) -> str:
    """How far a plan may be above the least score that is proven possible, given the gap as a share."""
    if not gap:
        return "the best there can be"
    share = "less than 0.1 %" if gap < 0.0005 else f"at most {gap * 100:.1f} %"
    return f"{share} above the best"


def listed(words: Sequence[str]) -> str:
    """``a, b and c``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def speaks_of(text: str, key: str) -> bool:
    """Whether a reel's key stands in that text as a word of its own: ``R-1`` is not told by ``R-10``."""
    return bool(key) and re.search(rf"(?<![\w-]){re.escape(key)}(?![\w-])", text) is not None


def ended(sentence: str) -> str:
    """A sentence with its full stop, where it has no mark of its own at its end."""
    return sentence if sentence.endswith((".", "?", "!")) else f"{sentence}."
