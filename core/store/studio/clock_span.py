"""Hours of one day as people write them: ``19:00-22:30``, ``19-22.30``, ``7-10.30 pm``, ``19h-22 Uhr``."""

from __future__ import annotations

import re

_CLOCK = r"(\d{1,2})(?:(?:[:.]|\s?h\s?)(\d\d))?(?:\s?(?:h|uhr))?\s*([ap])?\.?(?(3)m\.?)"


def clock_span(text: str) -> str | None:
    """Those hours as ``19:00-22:30``; None where they are none. Whether they can be is the row's to say."""
    ends = re.split(r"\s*(?:-|\N{EN DASH}|\bto\b)\s*", text.strip().casefold())
    if len(ends) != 2:
        return None
    first, last = (re.fullmatch(_CLOCK, one) for one in ends)
    if first is None or last is None:
        return None
    begin, end = _clock(first, first[3]), _clock(last, last[3])
    if not first[3] and last[3]:  # 7-10 pm; but 11-1 pm begins in the morning
        said = _clock(first, last[3])
        begin = said if said is None or end is None or said < end else _clock(first, "a")
    return f"{begin}-{end}" if begin and end else None


def clock_time(text: str) -> str | None:
    """``22``, ``22.30`` or ``10 pm`` as ``22:00``; None where it is no time of day."""
    match = re.fullmatch(_CLOCK, text.strip().casefold())
    return _clock(match, match[3]) if match else None


def _clock(match: re.Match[str], half: str | None) -> str | None:
    """The hour and minutes of a match, of that half of the day; None where there is no such time."""
    hour, minutes = int(match[1]), match[2] or "00"
    if half and not 1 <= hour <= 12:
        return None
    if half:
        hour = hour % 12 + 12 * (half == "p")
    return f"{hour:02}:{minutes}" if (hour, minutes) <= (24, "00") and minutes < "60" else None
