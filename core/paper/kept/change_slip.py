"""The change slip after a new plan: half a page an evening, naming the sheet that it replaces."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime

from reportlab.platypus import FrameBreak
from reportlab.platypus.flowables import Flowable

from core.clock import evening_of
from core.conditioning.alarms import alarms
from core.evening.tonight.sheet import Step
from core.paper.kept.changes import Change, changes
from core.paper.look.evenings import Evening, evenings
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Cell, Tick, table
from core.paper.look.page import Sheet, bind, column, origin
from core.paper.look.tell import headline
from core.paper.look.text import DECK, DECK_STRONG, Text, Type
from core.paper.look.words import clock, day_and_clock, day_and_year, short_moment
from core.plan import Plan
from core.shelf import Shelf
from core.words import speaks_of


def change_slip(shelf: Shelf, old: Plan, new: Plan, *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of the slips, two half pages a page; one that says so where nothing changed."""
    wide = column(size)
    found = changes(shelf, old, new)
    after = {evening.day: evening for evening in evenings(shelf, new)}
    before = {evening.day for evening in evenings(shelf, old)}
    story: list[Flowable] = []
    known = {reel for rows in found.values() for reel in _reels(rows)}
    for number, (day, rows) in enumerate(found.items()):
        if number:
            story.append(FrameBreak())
        story += [*_alarms(shelf), *_head(old, day, had=day in before)]
        story += [Text(said(line), DECK) for line in _reasons(new, rows, known)]
        story += [_steps(after.get(day), day, rows, wide), figures_foot("change slip")]
    if not found:
        says = f"Nothing changed: the sheets of {named(old)} stand."
        story = [*_alarms(shelf), Text("Change slip", Type(15, bold=True)), Text(says)]
    return bind([Sheet("Change slip", tuple(story), layout="halves")], origin(shelf, new, made), size)


def _alarms(shelf: Shelf) -> Iterator[Flowable]:
    """What must be done now, on every half: they are cut apart."""
    yield from (Text(f"NOW: {said(one.says)}", Type(10, bold=True, after=3)) for one in alarms(shelf))


def named(plan: Plan) -> str:
    """A plan by its number and time, as its sheets name it."""
    number = f"plan {plan.number}" if plan.number else "the plan without a number"
    return f"{number}, made {day_and_clock(plan.made_at or plan.start)}"


def _head(old: Plan, day: date, *, had: bool) -> Iterator[Flowable]:
    yield Text(f"Change slip, {day_and_year(day)}", Type(15, bold=True))
    if had:
        sheet = f"the work order, {day_and_year(day)}, of {named(old)}"
        yield Text(f"Replaces the steps on {sheet}: strike them out there.", DECK_STRONG)
    else:
        yield Text(f"A new evening: {named(old)}, had no work order for it.", DECK_STRONG)


def _reels(rows: tuple[Change, ...]) -> set[str]:
    return {reel for change in rows for reel in change.step.reels}


def _reasons(new: Plan, rows: tuple[Change, ...], known: set[str]) -> list[str]:
    """The plan's own sentences about what moved that speak of this evening's reels.

    What speaks of no reel that is ``known`` to any of the slips is said on all of them.
    """
    mine = _reels(rows)
    told = [(line, {reel for reel in known if speaks_of(line, reel)}) for line in new.moved]
    return [line for line, of in told if not of or of & mine]


def _steps(evening: Evening | None, day: date, rows: tuple[Change, ...], wide: float) -> Flowable:
    """Every step that is left on that evening, what changed in bold, then what is gone from it."""
    changed = {change.now.key: change for change in rows if change.now is not None}
    lines: list[list[Cell]] = []
    for step in evening.steps if evening is not None else ():
        change = changed.get(step.key)
        type_ = DECK_STRONG if change else DECK
        was = _was(change.was, day) if change else ""
        times = f"{clock(step.planned.start)} to {clock(step.planned.end)}"
        standing = evening.standing(step) if evening is not None else None
        lines.append(
            [Tick(8.5), Text(times, replace(type_, size=12)), Text(headline(step, standing), type_, 2), was]
        )
    lines += [_gone(change) for change in rows if not _stays(change, day)]
    what = f"what, {day_and_year(day)}"  # a half page that is cut off still tells its evening
    return table(
        ["", "now", what, "before"], lines, [4, 21, 47, 28], column=wide, type_=DECK, most=2, tight=True
    )


def _stays(change: Change, day: date) -> bool:
    return change.now is not None and evening_of(change.now.planned.start) == day


def _gone(change: Change) -> list[Cell]:
    if change.now is None:
        where = "not planned any more"
    else:
        where = f"moves to {short_moment(change.now.planned.start)}"
    return ["", "gone", Text(headline(change.step), DECK, 2), Text(where, DECK_STRONG)]


def _was(step: Step | None, day: date) -> str:
    if step is None:
        return "new"
    start = step.planned.start
    return f"was {clock(start)}" if evening_of(start) == day else f"was {short_moment(start)}"
