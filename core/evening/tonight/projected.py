"""Where the steps of an evening that are left now fall, by how much all of it is late, and what is spare."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from core.clock import Span, later, minutes_between
from core.evening.tonight.sheet import OVER, RunSheet, Step
from core.shelf import Shelf


def projected(sheet: RunSheet, shelf: Shelf, now: datetime) -> RunSheet:
    """The sheet with what is still to come laid after what runs now: touches keep their moment.

    How late the evening runs is told by the work left against the time that was planned for it: what is
    late at the start and has room behind it is not late.
    """
    doing = [one for one in sheet.steps if one.state == "running" and not one.touch]
    free = max((_ends(one, now) for one in doing), default=now)
    steps: list[Step] = []
    for step in sheet.steps:
        if step.state in OVER:
            steps.append(step)
            continue
        length = minutes_between(step.planned.start, step.planned.end)
        if step.state == "running":
            start, end = step.started or now, _ends(step, now)
        else:
            start = step.planned.start if step.touch else max(step.planned.start, free)
            start = max(start, now)
            end = later(start, minutes=length)
        free = max(free, end)
        steps.append(replace(step, expected=Span(start, end), fits=_fits(sheet, shelf, step, start, end)))
    late, spare = _late_and_spare(sheet, steps)
    return replace(sheet, steps=tuple(steps), late_minutes=late, spare_minutes=spare)


def _late_and_spare(sheet: RunSheet, steps: list[Step]) -> tuple[int, int | None]:
    """Minutes by which the work left ends after its planned end, and minutes of the bench window after it."""
    work = [one for one in steps if not one.touch and one.expected is not None]
    if not work:
        return 0, None
    ends = max(one.expected.end for one in work if one.expected is not None)
    late = max(0, round(minutes_between(max(one.planned.end for one in work), ends)))
    window = next((span for span in sheet.bench if ends <= span.end), None) or next(
        iter(sheet.bench[-1:]), None
    )
    return late, None if window is None else round(minutes_between(ends, window.end))


def _ends(step: Step, now: datetime) -> datetime:
    """When a step that runs ends: by its planned length, or now where it is past that."""
    length = minutes_between(step.planned.start, step.planned.end)
    return max(later(step.started or now, minutes=length), now)


def _fits(sheet: RunSheet, shelf: Shelf, step: Step, start: datetime, end: datetime) -> bool:
    if step.touch or step.state == "running":
        return True
    deck = shelf.studio.deck(step.item.deck) if step.item is not None else None
    spans = sheet.loud if deck is not None and deck.loud else sheet.bench
    inside = any(span.holds(start, end) for span in spans)
    return inside and (deck is None or any(span.holds(start, end) for span in sheet.bench))
