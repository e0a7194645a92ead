"""An evening in words, for screen and command."""

from __future__ import annotations

from core.evening.sheet import RunSheet
from core.words import hours_text


def how_late(sheet: RunSheet) -> str:
    """``on time``, ``10 min late, 25 min spare``, ``20 min late, 5 min too much``: work left, time left."""
    if not sheet.steps:
        return ""
    late = f"{hours_text(sheet.late_minutes)} late" if sheet.late_minutes > 0 else "on time"
    spare = sheet.spare_minutes
    if spare is None:
        return late
    return f"{late}, {hours_text(abs(spare))} {'spare' if spare >= 0 else 'too much'}"
