"""The picture of a week: what the decks, the chambers and the person does, hour by hour."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime
from math import ceil, floor

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus.flowables import Flowable

from core.clock import evening_of, minutes_between
from core.evening.tonight.provisional import signed
from core.evening.tonight.runsheet import evening_span
from core.paper.look.letters import width_of
from core.paper.look.text import TINY, Type, draw_line
from core.plan import Item, Plan
from core.shelf import Shelf
from core.standing.of_plan.still import left_of_plan
from core.studio.opening import opening
from core.values import dataclass
from core.words import day_text

_LANE, _LABEL = 13.0, 90.0
_LEAST, _IDLE = 6.5, 15.0  # of a lane; of a day on which nobody is at the bench and nothing is done
_MARKS = {"load": "L", "turn": "t", "take out": "o", "identify": "i", "repair": "r", "verify": "v"}
KEY = (
    "Thin frame: bench time, hatched where it is no longer loud. A line-up (A* full). "
    "L load, t turn, o take out; i identify, r repair, v verify. "
    "Crossed: not any more, its sheet says why. ?: rests on what nobody has looked at yet. "
    "A narrow block has the last digits of its reel, in it or behind it where they fit."
)


@dataclass(frozen=True, slots=True)
class Bar:
    """One block: from and to in hours after the day's midnight; ``mark`` is a letter for narrow ones."""

    lane: str
    start: float
    end: float
    says: str = ""
    mark: str = ""
    bold: bool = False
    crossed: bool = False
    """It must not be done any more: a line runs through it."""


class Chart(Flowable):
    """Some days below one another; a lane in each for every deck, every chamber and the person."""

    def __init__(
        self, shelf: Shelf, plan: Plan, days: Sequence[date], wide: float, made: datetime, high: float = 380
    ) -> None:
        """``high``: the points that the lanes of seven days may take, where they need no more."""
        super().__init__()
        self.days = days
        self.decks = [deck.id for deck in shelf.studio.decks]
        self.lanes = [*self.decks, *(chamber.id for chamber in shelf.studio.chambers), "you"]
        self.bars = {one: tuple(_all_bars(shelf, plan, one, made)) for one in days}
        self.benches = {one: tuple(_benches(shelf, plan, one)) for one in days}
        known = [bar for row in (*self.bars.values(), *self.benches.values()) for bar in row]
        self.first = floor(min((bar.start for bar in known), default=17))
        self.last = max(self.first + 4, ceil(max((bar.end for bar in known), default=23)))
        self.width = wide
        self.lane_height = max(_LEAST, min(_LANE, high / (7 * len(self.lanes))))
        full = self.lane_height * len(self.lanes) + 8
        self.rows = {one: full if self.bars[one] or self.benches[one] else _IDLE for one in days}

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        return self.width, sum(self.rows.values()) + 20

    def draw(self) -> None:
        """Hours along the top, then a row a day."""
        top = sum(self.rows.values())
        step = 1 if self.last - self.first <= 14 else 2
        for hour in range(self.first, self.last + 1, step):
            type_ = Type(8, bold=True, align="right" if hour == self.last else "centre")
            draw_line(self.canv, self._x(hour), top + 4, f"{hour % 24:02}", type_)
        for one in self.days:
            self._day(self.canv, one, top, step)
            top -= self.rows[one]
        self.canv.setLineWidth(0.9)
        self.canv.line(0, 0, self.width, 0)

    def _x(self, hour: float) -> float:
        share = (hour - self.first) / (self.last - self.first)
        return _LABEL + max(0.0, min(1.0, share)) * (self.width - _LABEL)

    def _hours(self, canvas: Canvas, top: float, low: float, step: int) -> None:
        """The line above a day, and one for every so many hours."""
        canvas.setLineWidth(0.9)
        canvas.line(0, top, self.width, top)
        canvas.setLineWidth(0.4)
        canvas.setDash(0.5, 2.5)
        for hour in range(self.first, self.last + 1, step):
            canvas.line(self._x(hour), low, self._x(hour), top)
        canvas.setDash()

    def _day(self, canvas: Canvas, one: date, top: float, step: int) -> None:
        low = top - self.rows[one]
        self._hours(canvas, top, low, step)
        draw_line(canvas, 0, top - 11, day_text(one), Type(9, bold=True))
        for bench in self.benches[one]:
            self._bench(canvas, bench, low, self.rows[one] - 3)
        for number, lane in enumerate(self.lanes if self.bars[one] or self.benches[one] else ()):
            base = top - 4 - (number + 1) * self.lane_height
            draw_line(canvas, _LABEL - 4, base + 3, lane, Type(7.5, align="right"), 34)
            bars = sorted((bar for bar in self.bars[one] if bar.lane == lane), key=lambda bar: bar.start)
            ends = [*(self._x(bar.start) for bar in bars[1:]), self.width]
            for bar, free in zip(bars, ends, strict=False):
                self._bar(canvas, bar, base, free)

    def _bench(self, canvas: Canvas, bench: Bar, low: float, high: float) -> None:
        left, right = self._x(bench.start), self._x(bench.end)
        canvas.setLineWidth(0.7)
        if bench.lane == "bench":
            canvas.rect(left, low + 1.5, right - left, high)
            return
        canvas.saveState()
        clip = canvas.beginPath()
        clip.rect(left, low + 1.5, right - left, high)
        canvas.clipPath(clip, stroke=0)
        canvas.setLineWidth(0.4)
        at = left - high
        while at < right:
            canvas.line(at, low + 1.5, at + high, low + 1.5 + high)
            at += 5
        canvas.restoreState()

    def _bar(self, canvas: Canvas, bar: Bar, base: float, free: float) -> None:
        left, right = self._x(bar.start), self._x(bar.end)
        canvas.setLineWidth(1.4 if bar.bold else 0.8)
        canvas.setFillGray(1)
        canvas.rect(left, base + 1, max(1.5, right - left), self.lane_height - 2, fill=1)
        canvas.setFillGray(0)
        if bar.crossed:
            canvas.line(left, base + 1, max(right, left + 1.5), base + self.lane_height - 1)
            canvas.line(left, base + self.lane_height - 1, max(right, left + 1.5), base + 1)
            return
        room, middle = right - left - 3, base + self.lane_height / 2 - 2.5
        wide, digits = width_of(bar.says, TINY.size), _last_digits(bar.says)
        if wide <= room or (bar.lane not in self.decks and bar.bold):
            draw_line(canvas, left + 2, middle, bar.says, TINY, room)
        elif bar.bold and digits and width_of(digits, TINY.size) <= room + 2:
            draw_line(canvas, (left + right) / 2, middle, digits, Type(TINY.size, align="centre"))
        elif bar.bold and wide + 2 < free - right:
            draw_line(canvas, right + 2, middle, bar.says, TINY)
        elif bar.bold and digits and width_of(digits, TINY.size) + 2 < free - right:
            draw_line(canvas, right + 2, middle, digits, TINY)
        elif bar.mark:
            draw_line(canvas, (left + right) / 2, middle, bar.mark, Type(6.5, align="centre"))


def _last_digits(key: str) -> str:
    found = re.search(r"\d{1,4}\??$", key)
    return found[0] if found else ""


def _all_bars(shelf: Shelf, plan: Plan, one: date, made: datetime) -> Iterator[Bar]:
    """The blocks of that date; what must not be done any more is crossed and stands behind the rest."""
    left, out = left_of_plan(shelf, plan, made)
    kept = list(bars_of(left, one))
    for bar in bars_of(plan, one) if out else ():
        if not any((bar.lane, bar.start) == (other.lane, other.start) for other in kept):
            yield replace(bar, crossed=True)
    yield from kept


def bars_of(plan: Plan, one: date) -> Iterator[Bar]:
    """What is done on that date, as blocks of the picture."""
    for item in plan.items:
        if item.kind == "condition":
            yield from _load_bars(item, one)
        elif evening_of(item.start) == one:
            yield _bar(item, one)


def _bar(item: Item, one: date) -> Bar:
    start, end = _hour(item.start, one), _hour(item.end, one)
    if item.kind == "align":
        mark = "A*" if item.full else "A"
        return Bar(item.deck, start, end, f"{mark} {item.setup_text}", mark)
    if item.deck:
        return Bar(item.deck, start, end, " ".join(signed(item)), bold=True)
    mark = _MARKS.get(item.kind, item.kind[:1])
    return Bar("you", start, end, f"{mark} {' '.join(signed(item))}", mark)


def _load_bars(item: Item, one: date) -> Iterator[Bar]:
    start, end = max(0.0, _hour(item.start, one)), min(24.0, _hour(item.end, one))
    if start < end:
        yield Bar(item.chamber, start, end, " ".join(signed(item)), bold=True)
    for touch in item.touches:
        if evening_of(touch.start) == one:
            mark = _MARKS[touch.do]
            yield Bar("you", _hour(touch.start, one), _hour(touch.end, one), mark, mark)


def _benches(shelf: Shelf, plan: Plan, one: date) -> Iterator[Bar]:
    span = evening_span(one, plan.start)
    loud = opening(shelf.studio, "loud", span.start, span.end)
    for bench in opening(shelf.studio, "bench", span.start, span.end):
        if evening_of(bench.start) != one:
            continue
        yield Bar("bench", _hour(bench.start, one), _hour(bench.end, one))
        ends = [part.end for part in loud if bench.start < part.end < bench.end]
        if ends:
            yield Bar("quiet", _hour(max(ends), one), _hour(bench.end, one))


def _hour(moment: datetime, one: date) -> float:
    """Hours after the day's midnight: the clock's on that date, elapsed ones before and after it."""
    if moment.date() == one:
        return moment.hour + moment.minute / 60
    return float(minutes_between(datetime.combine(one, datetime.min.time(), moment.tzinfo), moment) / 60)
