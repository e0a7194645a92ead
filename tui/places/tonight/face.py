"""The run sheet as lines: what was done, what is now with its countdown, the next two, what will not fit."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from math import ceil
from textwrap import wrap

from core.clock import Span, minutes_between
from core.evening.around.tight_end import tight_words
from core.evening.around.where_it_lies import reels_to_look_at
from core.evening.asked_first import asked_first, in_short
from core.evening.tonight.hours_asked import lacking, wanted
from core.evening.tonight.patching import minutes_of, wind_minutes
from core.evening.tonight.provisional import SIGN
from core.evening.tonight.runsheet import evening_span
from core.evening.tonight.sheet import MOVED, OFFERED, OVER, Step, hour_of
from core.evening.tonight.steps import words
from core.evening.tonight.transfer import one_span, transfer_of
from core.evening.warming.lapsing import lapsing
from core.planning.answers.desk_work import paper_work
from core.planning.answers.holes import in_words
from core.shelf import Shelf
from core.studio.opening import Flag, opening
from core.words import day_text, hours_text
from tui.board.digits import big, countdown
from tui.board.words import clock
from tui.places.tonight.step_facts import Face, seconds_left, step_facts, to_stop
from tui.safe_text import cells, fit, whole
from tui.text.evening import how_late, touch_late

#: A piece of a line: its text and its role, as the long lists have them.
Part = tuple[str, str]
Line = list[Part]


LEAST = 80
"""Columns in which every fact is told whole; a wider terminal's list has at least as many."""


SHORT = 50
"""Columns in which a step's name stands beside its time and its length at eighty."""


def face(view: Face, width: int, height: int) -> list[Line]:
    """The lines of the place, at most ``height`` of them, each ``width`` columns."""
    head = [headline(view, width), _blank(width)]
    now = _now_block(view, width)
    after = _after(view, width)
    room = height - len(head) - len(now)
    before = _before(view, width, max(0, min(2, room - len(after))))
    return [*head, *before, *now, *after][:height]


def rows(view: Face, width: int) -> list[tuple[str, Line]]:
    """Every step of the evening in order, each line with the key of the step that it begins, or none.

    The current step takes several lines, its countdown among them; how many never depends on the width.
    """
    out: list[tuple[str, Line]] = []
    current = view.sheet.current
    for step in view.sheet.steps:
        if current is not None and step.key == current.key:
            out += _of_step(step.key, _now_block(view, width))
        elif step.state in OVER:
            out += _of_step(step.key, _done_rows(view, step, width))
        else:
            asked = [f"! {in_short(one)}" for one in asked_first(view.shelf, step)]
            below = _below(_whole(asked, LEAST - 12), width, "bad")
            out += _of_step(step.key, [_waiting_row(view, step, width), *below])
    return out if current is not None else [*out, *_of_step("", _now_block(view, width))]


def _of_step(key: str, lines: list[Line]) -> list[tuple[str, Line]]:
    return [(key if number == 0 else "", line) for number, line in enumerate(lines)]


def will_not_fit(view: Face, width: int) -> Line | None:
    """What will not fit any more tonight, named whole."""
    out = view.sheet.will_not_fit
    if not out:
        return None
    plays = {one.subject for one in view.sheet.steps if one.state == "running"}
    plays |= {one.subject for one in view.sheet.waiting if one.fits}  # another step of it has room
    names = list(dict.fromkeys(name for one in out for name in _named(one, plays)))
    named = ", ".join(names[:4]) + (" ..." if len(names) > 4 else "")
    why = _for_helper(view, out)
    if not why and _for_loud(view, out):
        why = f" (loud only until {clock(view.sheet.loud[-1].end)})"
    return [(whole(f"   will not fit tonight: {named}{why}", width), "bad")]


def _named(step: Step, plays: Collection[str]) -> tuple[str, ...]:
    """The reels of a step without room; of one whose tape runs now, which step of it that is."""
    return (words(step),) if step.subject in plays else step.reels or (step.subject,)


def _for_helper(view: Face, out: Sequence[Step]) -> str:
    """Until when the helper is there, where a line-up has room but for that; empty otherwise."""
    day = evening_span(view.sheet.day, view.now)
    helper = opening(view.shelf.studio, "helper", day.start, day.end)
    if any("helper" in lacks for _, lacks in _lacking(view, out)):
        return f" (helper until {clock(helper[-1].end)})" if helper else " (no helper)"
    return ""


def _for_loud(view: Face, out: Sequence[Step]) -> bool:
    """Whether the evening itself would hold one of these, and only its loud time does not."""
    late = [falls for falls, lacks in _lacking(view, out) if "loud" in lacks]
    held = any(span.holds(one.start, one.end) for span in view.sheet.bench for one in late)
    return bool(view.sheet.loud) and held


def _lacking(view: Face, out: Sequence[Step]) -> list[tuple[Span, Mapping[Flag, Span]]]:
    """Where each of these now falls, and the hours that it lacks there."""
    return [
        (one.expected, lacking(view.shelf, wanted(view.shelf, one, one.expected.start, one.expected.end)))
        for one in out
        if one.expected is not None
    ]


def lapse_row(view: Face, width: int) -> Line | None:
    """The reel whose playable time ends soonest within a week; None where there is none."""
    soon = lapsing(view.shelf, view.plan, view.now)
    if not soon:
        return None
    more = f" (and {len(soon) - 1} more)" if len(soon) > 1 else ""
    return [(whole(f" ! {soon[0].words}{more}", width), "bad" if soon[0].urgent else "next")]


def headline(view: Face, width: int) -> Line:
    sheet = view.sheet
    spans = ", ".join(f"{clock(one.start)}-{clock(one.end)}" for one in sheet.bench)
    bench = f"bench {spans}" if spans else "no bench hours today"
    loud = f", loud until {clock(sheet.loud[-1].end)}" if sheet.loud else ""
    late = how_late(sheet, view.now)
    left = f" {day_text(sheet.day)}  {bench}{loud}"
    hot = any(touch_late(one, view.now) for one in sheet.steps)
    role = "bad" if sheet.late_minutes > 0 or hot else "good"
    room = max(0, width - cells(late) - 2)
    if cells(left) > room:  # the bench hours stand in the line above, and so does the day
        until = loud.removeprefix(", ") or bench
        left = f" {day_text(sheet.day)}  {until}"
        left = left if cells(left) <= room else f" {until}"
    return [(fit(left, room), "head"), (fit(f" {late} ", width - room), role)]


def _before(view: Face, width: int, count: int) -> list[Line]:
    done = [step for step in view.sheet.steps if step.state in OVER]
    last = done[len(done) - count :] if count else ()
    return [line for step in last for line in _done_rows(view, step, width)][-count:] if count else []


def _done_rows(view: Face, step: Step, width: int) -> list[Line]:
    """A step that is over: what became of it stands whole, below it where there is no room beside it."""
    at = step.started or step.planned.start
    if step.state == "struck":
        why = step.because.removeprefix("struck out, ").removeprefix(f"{step.subject}: ")
        rows = _whole([f"NOT {words(step)}: {why}"], LEAST - 12)
        return [_text(f" x {clock(at)}  {rows[0]}", width, "bad"), *_below(rows[1:], width, "bad")]
    if step.state == MOVED:
        tail = step.because
    elif step.state == "skipped":
        told = step.because.startswith("not done: ")  # said while catching up: it may be planned again
        tail = step.because if told else f"skipped: {step.because}" if step.because else "skipped"
    else:
        tail = f"done {clock(step.finished)}" if step.finished else "done"
    left, beside = f"   {clock(at)}  ", LEAST - 11 - cells(words(step)) - 3
    if cells(tail) <= beside:
        return [_row(left, _title(view.shelf, step), tail, width, "dim", cells(words(step)) + 3)]
    head = _text(f"{left}{_title(view.shelf, step)}", width, "dim")
    return [head, *_below(_whole([tail], LEAST - 12), width, "dim")]


def _below(told: Sequence[str], width: int, role: str) -> list[Line]:
    """More of a step on rows of its own, where its words stand."""
    return [_text(f"{' ' * 10}{one}", width, role) for one in told]


def _waiting_row(view: Face, step: Step, width: int) -> Line:
    at = step.expected.start if step.expected else step.planned.start
    if step.state == "running":
        return _row("   NOW    ", _title(view.shelf, step), "running", width, "next")
    if told := touch_late(step, view.now):
        return _row(f"   {clock(step.planned.start)}  ", _title(view.shelf, step), told, width, "bad")
    if not step.fits:
        hour = hour_of(step, view.now)
        told = clock(hour) if hour is not None else " " * 5
        return _row(f"   {told}  ", _title(view.shelf, step), "no room", width, "bad")
    if step.state == OFFERED:
        return _row(f"   {clock(at)}  ", _title(view.shelf, step), tight_words(step), width, "word")
    tail = _until(view.now, at) if step.touch else _length(view, step)
    return _row(f"   {clock(at)}  ", _title(view.shelf, step), tail, width, "word")


def _called_out(step: Step, title: str) -> str:
    """The running step in capitals; a set-up's units keep their own letters."""
    act, to, setup = title.partition(" to ") if step.kind == "align" else (title, "", "")
    return f"{act.upper()}{to}{setup}"


def _now_block(view: Face, width: int) -> list[Line]:
    step = view.sheet.current
    if step is None and view.plan is None:
        return [_text(f"   {one}", width, "word") for one in (*view.unplanned, "")] + _idle(view, width)
    if step is None:
        leave = [_text(f"   {one}", width, "next") for one in view.advice]
        return [_text("   Nothing is left to do tonight.", width, "good"), *leave, *_idle(view, width)]
    running = step.state == "running"
    title = _title(view.shelf, step)
    falls = step.planned if touch_late(step, view.now) else step.expected or step.planned
    when = "NOW  " if running else clock(falls.start)
    head = _row(
        f"   {when}  ",
        _called_out(step, title) if running else title,
        _state_words(view, step),
        width,
        "next",
    )
    if not running:
        asked = [f"! {one}" for one in asked_first(view.shelf, step)]
        return [
            head,
            *_below(_whole(asked, LEAST - 12), width, "bad"),
            *(_text(f"          {one}", width, "word") for one in _whole(step_facts(view, step), LEAST - 11)),
            _blank(width),
        ]
    figures = big(countdown(seconds_left(view, step)), "#" if view.plain else "█")
    wide = max(cells(row) for row in figures)
    facts = _whole(step_facts(view, step), LEAST - wide - 9)
    lines = [head, _blank(width)]
    for number, row in enumerate(figures):
        fact = facts[number] if number < len(facts) else ""
        column = min(wide + 6, width)  # the figures are never cut; they are what is read across the room
        lines.append([(fit(f"    {row}", column), "next"), (fit(f"  {fact}", width - column), "word")])
    # what has no room beside the figures stands below them: nothing that one must know is cut
    below = [_text(f"{' ' * (wide + 8)}{fact}", width, "word") for fact in facts[len(figures) :]]
    return [*lines, *below, _blank(width)]


def _whole(facts: Sequence[str], room: int) -> list[str]:
    """The facts broken to so many columns, whatever the terminal's width: rows are counted by it."""
    return [piece for fact in facts for piece in wrap(fact, max(12, room), break_on_hyphens=False) or [""]]


def _after(view: Face, width: int) -> list[Line]:
    current = view.sheet.current
    waiting = [step for step in view.sheet.waiting if current is None or step.key != current.key]
    nearest = [step for step in waiting if step.fits][:2]
    touch = view.sheet.next_touch
    if touch is not None and touch not in nearest and touch is not current:
        nearest.append(touch)
    lines = [_waiting_row(view, step, width) for step in nearest]
    out = will_not_fit(view, width)
    below = [[(row, role)] for text, role in out or () for row in text.split("\n")]
    return [*lines, *below]


def _title(shelf: Shelf, step: Step) -> str:
    reel = shelf.reels.get(step.subject)
    if step.touch:
        named = ", ".join(step.reels[:5]) + (" ..." if len(step.reels) > 5 else "")
        return f"{words(step)}: {named}" if named else words(step)
    guessed = SIGN if step.item is not None and step.kind != "align" and step.item.assumes else ""
    named = f"{words(step)}{guessed}"
    if step.kind == "align" and step.item is not None and cells(named) > SHORT:
        named = f"line up {step.subject} to {step.item.setup_text}, else as it stands"
    return f"{named}  {reel.contents or reel.box_label}" if reel is not None else named


def _state_words(view: Face, step: Step) -> str:
    running = step.state == "running"
    if running and to_stop(view, step):
        return "STOP IT NOW"
    if running and view.tape is not None and view.tape.reel == step.subject and step.kind == "transfer":
        if one_span(view.tape):
            return "one span only"
        numbers = transfer_of(view.shelf, step).numbers
        return f"pass {view.tape.number - numbers[0] + 1} of {len(numbers)}"
    if step.state == OFFERED:
        return tight_words(step)
    late = touch_late(step, view.now)
    waits = late or (f"next, {_length(view, step)}" if step.fits else f"{_length(view, step)}, no room")
    return "running" if running else waits


def _idle(view: Face, width: int) -> list[Line]:
    """An empty evening says what could fill it: work for the desk."""
    looks = [reel.key for reel in reels_to_look_at(view.shelf) if not reel.calibration]
    checks = [reel.key for reel in view.shelf.transferable() if reel.stage == "transferred"]
    lines = []
    if checks:
        lines.append(_text(f"   could be verified: {_some(checks)}", width, "word"))
    if looks:
        lines.append(_text(f"   could be looked at: {_some(looks)}", width, "word"))
    lines += [_text(f"   at the desk: {one}", width, "word") for one in in_words(paper_work(view.shelf))[:2]]
    return [_blank(width), *lines] if lines else []


def _some(keys: Sequence[str]) -> str:
    return ", ".join(keys[:6]) + (f" and {len(keys) - 6} more" if len(keys) > 6 else "")


def _length(view: Face, step: Step) -> str:
    """``50 min``; with a slow wind that is not planned ``50 min + 33 wind``."""
    wind = wind_minutes(view.shelf, step)
    planned = hours_text(minutes_of(view.shelf, step))
    return f"{planned} + {wind} wind" if wind else planned


def _until(now: datetime, at: datetime) -> str:
    minutes = ceil(minutes_between(now, at))  # as the line above the foot counts them
    return f"in {hours_text(minutes)} (bell)" if minutes >= 0 else f"{hours_text(-minutes)} late"


def _row(left: str, middle: str, right: str, width: int, role: str, least: int = 0) -> Line:
    """``least``: columns of the middle beside which the right one is told whole; else it has a third."""
    most = max(width // 3, width - cells(left) - least) if least else width // 3
    tail = fit(f"{right} ", min(cells(right) + 1, max(0, most)))
    room = max(0, width - cells(left) - cells(tail))
    return [(left, role), (fit(middle, max(0, room - 2)) + "  "[:room], role), (tail, role)]


def _text(text: str, width: int, role: str) -> Line:
    return [(fit(text, width), role)]


def _blank(width: int) -> Line:
    return [(" " * width, "word")]
