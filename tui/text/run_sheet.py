"""Tonight's run sheet as lines: each step with its number, where it falls, and how it stands."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.evening.around.tight_end import else_words, risk_words, tight_words
from core.evening.asked_first import asked_first, warm_at_step
from core.evening.tonight.sheet import OFFERED, RunSheet, Step, hour_of
from core.evening.tonight.steps import words
from core.evening.tonight.transfer import open_pass, transfer_of
from core.evening.warming.overdue import overdue_lines
from core.plan import Plan
from core.shelf import Shelf
from core.words import day_text
from tui.text.evening import how_late, to_patch, touch_late


def run_sheet_lines(shelf: Shelf, plan: Plan | None, sheet: RunSheet, now: datetime) -> Iterator[str]:
    """The evening's head, a line a step with its number, and what an offered step would risk."""
    hot = overdue_lines(shelf, now)
    late = how_late(sheet, now) or "nothing is planned tonight"
    yield f"{day_text(sheet.day)}  {late}"
    yield from (f"  ! {one}" for one in hot)
    numbers = sheet.numbers
    for step in sheet.steps:
        start = step.planned.start if touch_late(step, now) else hour_of(step, now)
        hour = f"{start:%H:%M}" if start is not None else " " * 5
        state = _state_told(shelf, step, now)
        yield f"{numbers[step.key]:>3}  {hour}  {line_words(step)}  {state}"
        yield from (f"            {one}" for one in _first(shelf, step, now))
        dry = warm_at_step(shelf, plan, step, now)
        yield from [f"            ! {dry}"] if dry else ()
    yield from (f"     {one}" for one in risk_words(sheet.offered[0], sheet)[:1]) if sheet.offered else ()


def line_words(step: Step) -> str:
    """The step's words as the list has them: of a touch with its reels."""
    return words(step) + (f": {', '.join(step.reels)}" if step.touch and step.reels else "")


def between_passes(shelf: Shelf, step: Step, now: datetime) -> tuple[str, ...]:
    """``pass 1 of 3 is over``, what to patch and to wind, how the next begins; nothing while a tape runs."""
    if step.kind != "transfer" or step.state != "running" or open_pass(shelf, step, now) is not None:
        return ()
    part = transfer_of(shelf, step)
    if not part.done or not part.left:
        return ()
    over = (
        f"pass {len(part.done)} of {len(part.numbers)} is over; `tonight begin {words(step)}` plays the next"
    )
    return (over, "; ".join(to_patch(shelf, step, now)))


def _first(shelf: Shelf, step: Step, now: datetime) -> tuple[str, ...]:
    """What is done before the next pass; that a tape that is to run is looked at first."""
    return (
        *_once_more(shelf, step, now),
        *between_passes(shelf, step, now)[1:],
        *(f"! {one}" for one in asked_first(shelf, step)),
    )


def _once_more(shelf: Shelf, step: Step, now: datetime) -> tuple[str, ...]:
    """What is patched and wound for a pass that is due once more from some minute on."""
    waits = step.kind == "transfer" and step.state == "waiting"
    if not waits or transfer_of(shelf, step).again is None:
        return ()
    return ("; ".join(to_patch(shelf, step, now)),)


def _state_told(shelf: Shelf, step: Step, now: datetime) -> str:
    """How a step stands, when it ended and why."""
    if step.state == "struck":
        return f"x {step.because}"
    if step.state == OFFERED:
        return f"{tight_words(step)}, {else_words(step)}"
    if step.state == "running":
        return _runs(shelf, step, now)
    if late := touch_late(step, now):
        return late
    state = {"waiting": "" if step.fits else "no room"}.get(step.state, step.state)
    end = f" {step.finished:%H:%M}" if step.finished and step.state == "done" else ""
    return f"{state}{end}" + (f": {step.because}" if step.because else "")


def _runs(shelf: Shelf, step: Step, now: datetime) -> str:
    """``runs``, ``pass 2 of 3 runs``, ``stands stopped``, or that a pass is over and the next is to begin."""
    over = between_passes(shelf, step, now)
    if over:
        return over[0]
    tape = open_pass(shelf, step, now) if step.kind == "transfer" else None
    if tape is None:
        return "runs"
    numbers = transfer_of(shelf, step).numbers
    many = len(numbers) > 1 and tape.number in numbers
    named = f"pass {numbers.index(tape.number) + 1} of {len(numbers)} " if many else ""
    return f"{named}{'stands stopped' if tape.state == 'stopped' else 'runs'}"
