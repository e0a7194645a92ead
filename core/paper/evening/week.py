"""The week on one page: its picture, the songs that it brings, and what is left over and why.

A page that would hold a few lines alone is no page: the picture is drawn closer where the week then fits one,
and songs and what is left over stand below the last week where they fit there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from functools import partial

from reportlab.platypus.flowables import Flowable

from core.clock import evening_of
from core.evening.around.song_dates import song_dates
from core.evening.tonight.provisional import signed
from core.evening.tonight.sheet import Step
from core.paper.evening.chart import KEY, Chart
from core.paper.look.evenings import Evening, evenings
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Cell, section, table
from core.paper.look.page import Sheet, bind, column, origin, pages_of
from core.paper.look.text import SMALL, SMALL_STRONG, Text, Type
from core.paper.look.words import clock, day_and_year
from core.plan import Plan
from core.shelf import Shelf
from core.songs.when import SongDate
from core.words import day_text, listed

#: Points that the lanes of a week's picture may take, the largest first.
_HEIGHTS = (380.0, 320.0, 260.0, 200.0)


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
    *before, last = (partial(_story, shelf, plan, monday, wide, made) for monday in mondays)
    after = partial(_after, shelf, plan, made, wide)
    stories = [_closest(one, size)[1] for one in before]
    alone, joined = _closest(last, size), _closest(lambda high: [*last(high), *after()], size)
    below = not plan.items or alone[0] == joined[0]
    stories.append(joined[1] if below else alone[1])
    rest = [] if below else list(after())
    sheets = [
        Sheet(f"Week of {day_and_year(monday)}", tuple(story), _aside(plan))
        for monday, story in zip(mondays, stories, strict=True)
    ]
    return [*sheets, Sheet("Songs, and what is left over", tuple(rest), _aside(plan))] if rest else sheets


def _closest(story: Callable[[float], list[Flowable]], size: str) -> tuple[int, list[Flowable]]:
    """Pages and story with the picture as large as its pages allow, closer only where that saves one."""
    pages: dict[float, int] = {}
    for high in _HEIGHTS:
        pages[high] = pages_of(story(high), size)
        if pages[high] == 1:
            break  # no closer one saves a page
    least = min(pages.values())
    return least, story(next(high for high in pages if pages[high] == least))


def _story(
    shelf: Shelf, plan: Plan, monday: date, wide: float, made: datetime, high: float
) -> list[Flowable]:
    days = [monday + timedelta(days=number) for number in range(7)]
    story: list[Flowable] = [Chart(shelf, plan, days, wide, made, high), Text(KEY, Type(8, before=4))]
    foot = figures_foot("week sheet")
    there = evenings(shelf, plan, made, runs_alone=True)
    rows = [_day_row(evening) for evening in there if evening.day in days]
    head = ["evening", "transfers", "chamber", "line-ups and the rest"]
    if rows:
        lines = table(head, rows, [12.5, 18.5, 28, 41], column=wide, type_=SMALL, most=9)
        story += section("Evening by evening", lines)
    return [*story, foot]


def _aside(plan: Plan) -> str:
    if not plan.items:
        return plan.status
    return f"{plan.how_good} (lower is better)"


def _day_row(evening: Evening) -> list[Cell]:
    steps = evening.steps
    plays = listed([_named(step) for step in steps if step.kind == "transfer"])
    loads = [
        f"{said(one.chamber)} {clock(one.start)} to {clock(one.end)} {listed([said(r) for r in signed(one)])}"
        for one in evening.loads
    ]
    loads += [one.brief for one in evening.empty if one.brief]
    rest = [
        f"line up {said(step.item.deck)} to {said(step.item.setup_text)}"
        for step in steps
        if step.kind == "align" and step.item is not None
    ]
    for kind in ("identify", "repair", "audition", "verify"):
        reels = [_named(step) for step in steps if step.kind == kind]
        if reels:
            rest.append(f"{kind} {listed(reels)}")
    rest += list(dict.fromkeys(f"not any more {s.kind} {said(s.subject)}: {w}" for s, w in evening.crossed))
    cells = (plays, "; ".join(loads), "; ".join(rest))
    return [Text(day_text(evening.day), SMALL_STRONG, 1), *cells]


def _named(step: Step) -> str:
    """The step's tape, with the sign of what is provisional."""
    return said(*signed(step.item)) if step.item is not None and step.item.reels else said(step.subject)


def _after(shelf: Shelf, plan: Plan, made: datetime, wide: float) -> Iterator[Flowable]:
    if not plan.items:
        yield Text("Nothing is planned in these days.", Type(10, before=8))
    songs = [_song_row(date) for date in song_dates(shelf, plan, made).values()]
    if songs:
        head = ["song", "title", "when", "waits for"]
        yield from section(
            "Songs", table(head, songs, [10, 32, 36, 22], column=wide, type_=SMALL, most=2, close=True)
        )
    left = [_left_row(shelf, plan, number) for number in range(len(plan.left_over))]
    if left:
        head = ["reel", "box says", "why"]
        yield from section(
            "Left over", table(head, left, [12, 30, 58], column=wide, type_=SMALL, most=6, close=True)
        )


def _song_row(date: SongDate) -> list[Cell]:
    song = date.told.song
    return [Text(song.key, SMALL_STRONG, 1), song.title, date.words, ", ".join(date.waits_for)]


def _left_row(shelf: Shelf, plan: Plan, number: int) -> list[Cell]:
    one = plan.left_over[number]
    reel = shelf.reels.get(one.reel)
    box = reel.box_label or reel.contents if reel is not None else ""
    return [Text(one.reel, SMALL_STRONG, 1), box, one.why]
