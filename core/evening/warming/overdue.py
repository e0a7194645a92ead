"""Tapes that are still in the heat though their hours are up: told above all else, at every door."""

from __future__ import annotations

from datetime import datetime

from core.clock import later, minutes_between
from core.conditioning.alarms import alarm_of
from core.conditioning.hours_had import overdue_words
from core.reels.needs import heated_hours
from core.shelf import Shelf
from core.words import hours_text, listed


def overdue_lines(shelf: Shelf, at: datetime) -> list[str]:
    """A line for each chamber and moment at which tapes were to come out; an alarm has a line of its own."""
    due: dict[tuple[str, datetime], list[str]] = {}
    for key, reel in sorted(shelf.reels.items()):
        treatment = shelf.studio.treatment(reel.width)
        if not reel.chamber or treatment is None or reel.loaded_at is None or alarm_of(shelf, key):
            continue
        out = later(reel.loaded_at, hours=heated_hours(reel, treatment)).astimezone(at.tzinfo)
        if overdue_words(out, at):
            due.setdefault((reel.chamber, out), []).append(key)
    return [_line(chamber, out, keys, at) for (chamber, out), keys in sorted(due.items())]


def _line(chamber: str, out: datetime, keys: list[str], at: datetime) -> str:
    ago = hours_text(minutes_between(out, at))
    return f"take {listed(keys)} out of {chamber} now: due at {out:%H:%M}, {ago} ago; more heat does no good"
