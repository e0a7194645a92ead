"""Entering from paper: the rows of the sheet that was carried, in its own order, each with its real time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from core.evening.afterwards.by_paper import beyond_the_step
from core.evening.afterwards.paper_log import NOTHING, PaperLog
from core.evening.tonight.backwards import may_run_backwards
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import words
from core.evening.tonight.transfer import transfer_of
from core.shelf import Shelf
from tui.asking.form import FormPage
from tui.asking.form_lines import FormLine, Values
from tui.places.tonight.paper.paper_rows import HEADS, HELD_BY, KINDS, REASONS, PaperRows, holds, on_heads

Times = tuple[datetime | None, datetime]


def paper_form(shelf: Shelf, step: Step, rows: PaperRows, draft: str) -> FormPage:
    """The form of one step: its times, and for a transfer the runs of the tape and its notes."""
    numbers = transfer_of(shelf, step).left if step.kind == "transfer" else ()
    both_ways = bool(may_run_backwards(shelf, step))

    def lines(values: Values) -> Sequence[FormLine]:
        own = "1905-1940, or the end alone" if step.kind != "transfer" else "empty: as it ran; else 1905-1940"
        when = FormLine("when", "began, ended", "", own, _reads(rows.times))
        if step.kind != "transfer":
            return [when]
        out = [when]
        for number in numbers:
            out += _runs(rows, number, values, both_ways=both_ways)
        if _squealed(rows, values):
            out.append(FormLine("heads", "on the heads", "", HEADS, _reads(on_heads)))
        out += _notes(rows, values)
        return [*out, FormLine("holds", "tape is on", "", HELD_BY, _reads(holds))]

    def wrong(values: Values) -> str | None:
        if not values["when"].strip() and not _ran(values):
            return "when was it done? The first line tells"
        unread = _reads(rows.log)(values) if step.kind == "transfer" else None
        if unread is not None or not values["when"].strip():
            return unread
        (began, ended), log = entered(step, rows, values)
        return beyond_the_step(began, ended, log)

    told = "The rows stand as on the sheet; leave empty what it does not tell. 0:20 is this evening still."
    return FormPage(f"{words(step)}, from paper", told, lines, draft=draft, wrong=wrong)


def entered(step: Step, rows: PaperRows, values: Values) -> tuple[Times, PaperLog]:
    """What the form tells: the step's times, and its log."""
    log = rows.log(values) if step.kind == "transfer" else NOTHING
    if not values["when"].strip() and log.pieces:
        return (log.pieces[0].began, log.pieces[-1].ended), log
    return rows.times(values["when"]), log


def _ran(values: Values) -> bool:
    return any(name.startswith("run ") and text.strip() for name, text in values.items())


def _squealed(rows: PaperRows, values: Values) -> bool:
    """True where a run was stopped for a squeal: what lay on the heads is asked, as at the tape."""
    runs = {name: text for name, text in values.items() if name.startswith("run ")}
    try:
        return rows.log(runs).squealed
    except ValueError:
        return False  # not yet typed to its end


def _runs(rows: PaperRows, number: int, values: Values, *, both_ways: bool) -> list[FormLine]:
    """A row for each run of the pass, or ``;`` between them: one more where the last one tells of a stop."""
    out = []
    place = 1
    while True:
        name = f"run {number} {place}"
        label = f"pass {number} ran" if place == 1 else "  went on"
        hint = f"1905-1938; stopped at 12:31: 1905-20 1231 1 ({REASONS})"
        if both_ways and place == 1:
            hint = "1905-1938, or 1905-1938 backwards; stopped at 12:31: 1905-20 1231 1"
        out.append(FormLine(name, label, "", hint, _reads(lambda text: rows.pieces(number, text))))
        if not _stopped(rows, number, values.get(name, "")):
            return out
        place += 1


def _stopped(rows: PaperRows, number: int, text: str) -> bool:
    """True where the last run of that row was stopped: another one may be told of."""
    last = text.rpartition(";")[2]
    if " to " in f"{last} ":
        return True
    try:
        return bool(last.strip()) and rows.piece(number, last).stop is not None
    except ValueError:
        return False  # not yet typed to its end


def _notes(rows: PaperRows, values: Values) -> list[FormLine]:
    """A row for each note, and an empty one."""
    count = 1
    while values.get(f"note {count}", "").strip():
        count += 1
    more = "of pass 2: 2/ 1231 1; " if len(rows.numbers) > 1 else ""
    hint = f"1231 1 left; 1402 2; {more}{KINDS}"
    return [FormLine(f"note {n}", "note", "", hint, _reads(rows.notes)) for n in range(1, count + 1)]


def _reads(read: Callable[..., object]) -> Callable[..., str | None]:
    """Why a reading does not work out, as a sentence; None if it does."""

    def wrong(text: object) -> str | None:
        try:
            read(text)
        except ValueError as error:
            return f"wants {error}"
        return None

    return wrong
