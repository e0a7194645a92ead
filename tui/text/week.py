"""The planned evenings as plain text: a day, its hours, and what is done when."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING

from core.clock import evening_of
from core.conditioning.loads.trial import empty_runs
from core.evening.around.unset import line_up_notes
from core.evening.asked_first import asked_of_item, in_short
from core.evening.tonight.helper import days_without
from core.evening.tonight.planned_step import waits_still
from core.evening.tonight.provisional import provisional_words
from core.plan import Item, Plan, Touch
from core.shelf import Shelf
from core.songs.when import SongDate, song_line
from core.standing.of_plan.still import left_of, left_of_plan, struck, struck_words
from core.standing.of_plan.struck import Struck
from core.words import above_best, day_text, hours_text
from tui.board.evenings import Day, item_words, week
from tui.board.words import clock

if TYPE_CHECKING:
    from core.planning.answers.holes import Hole
    from core.planning.answers.wish_kept import WishTold


def week_lines(
    shelf: Shelf,
    plan: Plan,
    dates: Iterable[SongDate],
    wishes: Sequence[WishTold] = (),
    holes: Sequence[Hole] = (),
    now: datetime | None = None,
) -> Iterator[str]:
    """The plan, day by day with what could fill its holes, then what is left over, wishes, songs, score.

    A chamber's empty run stands on the evening on which it can be, as of ``now``, else of the plan's start.
    """
    empty = empty_runs(shelf, left_of_plan(shelf, plan, now)[0], now or plan.start)
    could = {hole.day: hole for hole in holes}
    away = days_without(shelf, plan)
    gone: dict[int, list[Struck]] = {}
    for one in struck(shelf, plan, plan.start):
        gone.setdefault(id(one.item), []).append(one)
    notes = line_up_notes(shelf, plan)
    for day in week(shelf.studio, plan).days:
        first = [
            (f"{one.start or one.load:%Y-%m-%d %H:%M}", -1, f"! {one.words}")
            for one in empty if evening_of(one.start or one.load) == day.day
        ]  # fmt: skip
        steps = sorted([*first, *_steps(shelf, plan, day.day, gone, notes, now or plan.start)])
        hole = could.get(day.day)
        if steps or (hole is not None and hole.work):
            yield f" {day_text(day.day)}   {_hours(day, without=day.day in away)}"
            yield from (f"   {line}" for _, _, line in steps)
        if hole is not None and hole.work:
            yield f"   {hole_words(hole)}"
    if plan.left_over:
        yield " left over"
        yield from (f"   {left.reel}: {left.why}" for left in plan.left_over)
    if wishes:
        yield " wishes"
        yield from (f"   {one.says}" for one in wishes)
    yield " songs"
    yield from (f"   {song_line(date)}" for date in dates)
    good = f"lower is better; none can be below {plan.bound:.4f}"
    yield f" score {plan.score:.4f}, {above_best(plan.gap)} ({good})"


def hole_words(hole: Hole) -> str:
    """``free 1 h 35, longest from 20:25: could identify R-004, verify R-006``."""
    longest = f", longest from {clock(hole.start)} to {clock(hole.end)}"
    could = f": could {', '.join(hole.work)}" if hole.work else ""
    return f"free {hours_text(hole.minutes)}{longest}{could}"


def _hours(day: Day, *, without: bool) -> str:
    hours = ", ".join(f"{clock(span.start)}-{clock(span.end)}" for span in day.bench)
    helper = ", helper not needed: tell them" if without else ", helper comes" if day.helper else ""
    return (f"bench {hours}" if hours else "no bench hours") + helper


def _steps(
    shelf: Shelf,
    plan: Plan,
    day: date,
    gone: Mapping[int, list[Struck]],
    notes: Mapping[int, tuple[str, ...]],
    now: datetime,
) -> Iterator[tuple[str, int, str]]:
    """Start, rank and words of all that begins on that evening; what must not be done any more says so."""
    for item in plan.items:
        out = gone.get(id(item), [])
        left = left_of(item, {one.reel: one.why for one in out})
        lines = list(_of_item(shelf, plan, item if left is None else left, day))
        ahead = left is not None and (item.start >= now or waits_still(shelf, item, now))
        asked = [f"! {in_short(one)}" for one in asked_of_item(shelf, left)] if ahead and left else []
        asked = asked if item.kind != "condition" or evening_of(item.start) == day else []
        told = enumerate((*asked, *(notes.get(id(item), ()) if left is not None else ())), 2)
        lines += [(lines[0][0], rank, f"  {note}") for rank, note in told if lines]
        if not out:
            yield from lines
            continue
        cross, why = "x " if left is None else "", struck_words(out, some_left=left is not None)
        yield from ((at, rank, f"{cross}{line}: {why}") for at, rank, line in lines)


def _of_item(shelf: Shelf, plan: Plan, item: Item, day: date) -> Iterator[tuple[str, int, str]]:
    if item.kind == "condition":
        yield from (_touch(item, touch) for touch in item.touches if evening_of(touch.start) == day)
    elif evening_of(item.start) == day:
        yield f"{item.start:%Y-%m-%d %H:%M}", 1, item_words(shelf, item, plan)


def _touch(item: Item, touch: Touch) -> tuple[str, int, str]:
    out = [member.reel for member in item.members if member.out == touch.start]
    inside = [member.reel for member in item.members if member.out > touch.start]
    warm = f" at {item.temperature}" if touch.do == "load" else ""
    told = f"{touch.do} chamber {item.chamber}: {', '.join(out if touch.do == 'take out' else inside)}{warm}"
    rests = provisional_words(item) if touch.do == "load" else ""
    told += f"; {rests}" if rests else ""
    if touch.do == "take out" and inside:
        told += f"; turn {', '.join(inside)}"
    return f"{touch.start:%Y-%m-%d %H:%M}", 0, f"{touch.start:%H:%M}-{touch.end:%H:%M} {told}"
