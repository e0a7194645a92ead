"""An evening in words, for screen and command."""

from __future__ import annotations

from datetime import datetime

from core.clock import minutes_between
from core.evening.tonight.patching import next_pass, patching
from core.evening.tonight.sheet import RunSheet, Step
from core.shelf import Shelf
from core.tape.where import figure
from core.words import hours_text

ONE_LINE = 68
"""Columns beside a step: what is longer is broken, and the name of a file is never."""


def to_patch(shelf: Shelf, step: Step, now: datetime) -> list[str]:
    """What to patch, to wind first or not, and the name of the file that the next pass makes."""
    from core.capture.files.names import NotARule, named_by

    number, tracks = next_pass(shelf, step)
    rule = shelf.studio.capture.file_names if shelf.studio.capture else ""
    try:
        name = named_by(rule, step.subject, number, tracks, f"{now:%Y-%m-%d}")
    except NotARule as error:
        name = str(error)
    first, *more = patching(shelf, step)
    together = "; ".join([*more, f"file {name}"])
    return [first, together] if len(together) <= ONE_LINE else [first, *more, f"file {name}"]


def touch_late(step: Step, now: datetime) -> str:
    """``12 h 47 late: now``, of a turn or a take-out that is due by more than it may be late; else empty.

    Those of a load that runs are told by the shelf, without an item of the plan; one of a load that is still
    to begin falls behind that, and is not late.
    """
    if step.state != "waiting" or step.kind not in ("turn", "take out") or step.item is not None:
        return ""
    late = minutes_between(step.planned.start, now)
    return f"{hours_text(late)} late: now" if late > figure("heat.touch_late_minutes") else ""


def how_late(sheet: RunSheet, now: datetime) -> str:
    """``on time``, ``10 min late, 25 min spare``, ``20 min late, 5 min too much``: work left, time left.

    A turn or a take-out that is late is told before the work, slow winds that no plan holds behind it; spare
    is what these leave.
    """
    if not sheet.steps:
        return ""
    late = f"{hours_text(sheet.late_minutes)} late" if sheet.late_minutes > 0 else "on time"
    late = f"chamber late, work {late}" if any(touch_late(one, now) for one in sheet.steps) else late
    late += f" + {sheet.wind_minutes} wind" if sheet.wind_minutes else ""
    spare = sheet.spare_minutes
    if spare is None:
        return late
    return f"{late}, {hours_text(abs(spare))} {'spare' if spare >= 0 else 'too much'}"
