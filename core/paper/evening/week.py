"""The week on one page: its picture, the songs that it brings, and what is left over and why."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from reportlab.platypus.flowables import Flowable

from core.clock import evening_of
from core.evening.around.song_dates import song_dates
from core.paper.evening.chart import KEY, Chart
from core.paper.look.evenings import Evening, evenings
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Cell, section, table
from core.paper.look.page import Sheet, bind, column, origin
from core.paper.look.text import SMALL, SMALL_STRONG, Text, Type
from core.paper.look.words import clock, day_and_year
from core.plan import Plan
from core.shelf import Shelf
from core.songs.when import SongDate
from core.words import day_text, listed


def week(shelf: Shelf, plan: Plan, *, size: str = "A4", made: datetime, stale: str | None = None) -> bytes:
    """The PDF of the plan's weeks, one page each."""
    return bind(week_sheets(shelf, plan, made, size), origin(shelf, plan, made, stale), size)


def week_sheets(shelf: Shelf, plan: Plan, made: datetime, size: str = "A4") -> list[Sheet]:
    """A sheet for each week, Monday to Sunday, in which the plan does something; at least one.

    Songs are told as they stand at ``made``, the moment of printing.
    """
    wide = column(size)
    worked = {evening_of(item.start) for item in plan.items if item.kind != "condition"}
    worked |= {evening_of(touch.start) for item in plan.items for touch in item.touches}
    worked = worked or {evening_of(plan.start)}
    mondays = sorted({one - timedelta(days=one.weekday()) for one in worked})
    after = tuple(_after(shelf, plan, made, wide))
    if not plan.items:
        only = _sheet(shelf, plan, mondays[0], wide, made)
        return [Sheet(only.title, (*only.story, *after), only.aside)]
    sheets = [_sheet(shelf, plan, monday, wide, made) for monday in mondays]
    return [*sheets, Sheet("Songs, and what is left over", after, _aside(plan))] if after else sheets


def _sheet(shelf: Shelf, plan: Plan, monday: date, wide: float, made: datetime) -> Sheet:
    days = [monday + timedelta(days=number) for number in range(7)]
    story: list[Flowable] = [Chart(shelf, plan, days, wide, made), Text(KEY, Type(8, before=4))]
    foot = figures_foot("week sheet")
    rows = [_day_row(evening) for evening in evenings(shelf, plan, made) if evening.day in days]
    head = ["evening", "transfers", "chamber", "line-ups and the rest"]
    if rows:
        lines = table(head, rows, [12.5, 18.5, 28, 41], column=wide, type_=SMALL, most=9)
        story += section("Evening by evening", lines)
    return Sheet(f"Week of {day_and_year(monday)}", (*story, foot), _aside(plan))


def _aside(plan: Plan) -> str:
    if not plan.items:
        return plan.status
    return f"{plan.how_good} (lower is better)"


def _day_row(evening: Evening) -> list[Cell]:
    steps = evening.steps
    plays = listed([said(step.subject) for step in steps if step.kind == "transfer"])
    loads = [
        f"{said(one.chamber)} {clock(one.start)} to {clock(one.end)} {listed([said(r) for r in one.reels])}"
        for one in evening.loads
    ]
    rest = [
        f"line up {said(step.item.deck)} to {said(step.item.setup_told)}"
        for step in steps
        if step.kind == "align" and step.item is not None
    ]
    for kind in ("identify", "repair", "audition", "verify"):
        reels = [said(step.subject) for step in steps if step.kind == kind]
        if reels:
            rest.append(f"{kind} {listed(reels)}")
    rest += list(dict.fromkeys(f"not any more {s.kind} {said(s.subject)}: {w}" for s, w in evening.crossed))
    cells = (plays, "; ".join(loads), "; ".join(rest))
    return [Text(day_text(evening.day), SMALL_STRONG, 1), *cells]


def _after(shelf: Shelf, plan: Plan, made: datetime, wide: float) -> Iterator[Flowable]:
    if not plan.items:
        yield Text("Nothing is planned in these days.", Type(10, before=8))
    songs = [_song_row(date) for date in song_dates(shelf, plan, made).values()]
    if songs:
        head = ["song", "title", "when", "waits for"]
        yield from section("Songs", table(head, songs, [10, 32, 36, 22], column=wide, type_=SMALL, most=2))
    left = [_left_row(shelf, plan, number) for number in range(len(plan.left_over))]
    if left:
        head = ["reel", "box says", "why"]
        yield from section("Left over", table(head, left, [12, 30, 58], column=wide, type_=SMALL, most=6))


def _song_row(date: SongDate) -> list[Cell]:
    song = date.told.song
    return [Text(song.key, SMALL_STRONG, 1), song.title, date.words, ", ".join(date.waits_for)]


def _left_row(shelf: Shelf, plan: Plan, number: int) -> list[Cell]:
    one = plan.left_over[number]
    reel = shelf.reels.get(one.reel)
    box = reel.box_label or reel.contents if reel is not None else ""
    return [Text(one.reel, SMALL_STRONG, 1), box, one.why]
