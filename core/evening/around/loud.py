"""What is said above everything else of an evening: alarms, boxes that warn, tapes on decks, wrong heat."""

from __future__ import annotations

from datetime import datetime

from core.conditioning.alarms import alarm_of, alarms
from core.conditioning.box_asked import boxes_meanwhile
from core.conditioning.lies_off import lies_off
from core.conditioning.told.out_ahead import out_ahead
from core.evening.playing.again import alarm
from core.evening.playing.left_lying import deck_lines
from core.evening.playing.set_up_since import told_anew
from core.evening.tonight.sheet import RunSheet
from core.shelf import Shelf


def loud(shelf: Shelf, sheet: RunSheet, now: datetime) -> tuple[str, ...]:
    """What must be said loudly of that evening's tapes, of those in a chamber, and of the decks."""
    tonight = [key for step in sheet.steps for key in (step.subject, *step.reels)]
    warm = [reel.key for reel in shelf.reels.values() if reel.chamber]
    first = (*(one.says for one in alarms(shelf)), *(one.says(now) for one in lies_off(shelf)))
    keys = [key for key in dict.fromkeys((*warm, *tonight)) if key in shelf.reels]
    found = (alarm(shelf, shelf.reels[key]) for key in keys if alarm_of(shelf, key) is None)
    boxes = [says for key, says in boxes_meanwhile(shelf).items() if alarm_of(shelf, key) is None]
    return (
        *first,
        *boxes,
        *out_ahead(shelf, now),
        *told_anew(shelf, now),
        *deck_lines(shelf, now),
        *(text for text in found if text),
    )
