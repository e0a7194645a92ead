"""The page that every sheet is printed on: its head and foot, its size, and page n of m."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from typing import Literal

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, NextPageTemplate, PageBreak, PageTemplate
from reportlab.platypus.flowables import Flowable

from core.conditioning.alarms import alarms
from core.errors import Unusable
from core.paper.look.letters import letter_name, width_of
from core.paper.look.line_order import BOX
from core.paper.look.text import SMALL, TINY, Text, Type, broken, draw_line
from core.paper.look.words import day_and_clock
from core.plan import Plan
from core.shelf import Shelf
from core.values import dataclass

MARGIN = 14 * mm
_LOUD = Type(10, bold=True)
#: Sizes of the second line, hours and all; the largest that it fits in.
_ASIDE = (12.0, 11.0, 10.0)
HEAD, FOOT = 17 * mm, 8 * mm
_SIZES = {"a4": A4, "letter": LETTER}
Layout = Literal["page", "halves"]


@dataclass(frozen=True, slots=True)
class Origin:
    """What a sheet was printed from and when; every page says it."""

    studio: str
    source: str
    printed: datetime
    stale: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of the set: the words at its head and what stands on it, from the top down."""

    title: str
    story: tuple[Flowable, ...]
    aside: str = ""
    layout: Layout = "page"


def origin(shelf: Shelf, plan: Plan | None, made: datetime, stale: str | None = None) -> Origin:
    """Plan number and time, shelf and revision, as every page names them."""
    parts = []
    if plan is not None:
        number = f"plan {plan.number}" if plan.number else "a plan without a number"
        parts.append(f"{number}, made {day_and_clock(plan.made_at or plan.start)}")
    named = shelf.studio.name if shelf.name in ("", "shelf") else shelf.name  # a file of the usual name
    parts.append(f"shelf {named}, revision {shelf.revision}")
    loud = [one.says for one in alarms(shelf)]
    return Origin(shelf.studio.name, "; ".join(parts), made, " ".join([*loud, *([stale] if stale else [])]))


def page_size(size: str) -> tuple[float, float]:
    """Width and height in points of ``A4`` or ``Letter``; Unusable for anything else."""
    try:
        return _SIZES[size.strip().casefold()]
    except KeyError:
        raise Unusable(f"paper size {size!r} is not one of A4 and Letter") from None


def column(size: str) -> float:
    """Width in points of what may be printed on."""
    return page_size(size)[0] - 2 * MARGIN


def room_down(size: str) -> float:
    """Height in points of what may be printed on, head and foot apart."""
    return page_size(size)[1] - 2 * MARGIN - HEAD - FOOT


def high(parts: Sequence[Flowable], wide: float) -> float:
    """Points that those parts take, one below the other."""
    return sum(one.wrap(wide, 10_000)[1] + one.getSpaceBefore() + one.getSpaceAfter() for one in parts)


def pages_of(story: Sequence[Flowable], size: str) -> int:
    """How many pages that takes; what is asked about is used up by it."""
    wide, high = page_size(size)
    document = BaseDocTemplate(io.BytesIO(), pagesize=(wide, high), initialFontName="Helvetica")
    frame = _Undrawn(
        MARGIN, MARGIN + FOOT, column(size), room_down(size),
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
    )  # fmt: skip
    document.addPageTemplates(PageTemplate("any", [frame]))
    document.build(list(story), canvasmaker=_Counting)
    return int(document.page)


def bind(sheets: Sequence[Sheet], origin: Origin, size: str = "A4") -> bytes:
    """The sheets as one PDF. The same input makes the same bytes: it is dated by the moment given."""
    wide, high = page_size(size)
    out = io.BytesIO()
    document = BaseDocTemplate(
        out,
        pagesize=(wide, high),
        title=sheets[0].title if sheets else "",
        author=origin.studio,
        lang="en",
        creator="reelturn",
        invariant=1,
        initialFontName="Helvetica",
    )
    story: list[Flowable] = []
    for number, sheet in enumerate(sheets):
        name = f"sheet {number}"
        document.addPageTemplates(_template(name, sheet, origin, (wide, high)))
        if number:
            story += [NextPageTemplate(name), PageBreak()]
        story += sheet.story or (Text(""),)
    document.build(story, canvasmaker=lambda *args, **named: _Counted(*args, **named).begun(origin.printed))
    return out.getvalue()


def _template(name: str, sheet: Sheet, origin: Origin, size: tuple[float, float]) -> PageTemplate:
    wide, high = size
    bare = partial(Frame, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)
    if sheet.layout == "halves":
        half = high / 2 - MARGIN - 4 * mm
        frames = [
            bare(MARGIN, high / 2 + 8 * mm, wide - 2 * MARGIN, half),
            bare(MARGIN, MARGIN, wide - 2 * MARGIN, half),
        ]
        return PageTemplate(name, frames, onPage=_drawn(origin, size, lambda canvas: _cut_line(canvas, size)))
    more = max(0, len(_loud(origin, wide - 2 * MARGIN)) - 1) * _LOUD.line
    frame = bare(MARGIN, MARGIN + FOOT, wide - 2 * MARGIN, high - 2 * MARGIN - HEAD - FOOT - more)
    return PageTemplate(
        name, [frame], onPage=_drawn(origin, size, lambda canvas: _head(canvas, sheet, origin, size))
    )


def _drawn(
    origin: Origin, size: tuple[float, float], rest: Callable[[_Counted], None]
) -> Callable[[Canvas, object], None]:
    def on_page(canvas: Canvas, document: object) -> None:
        assert isinstance(canvas, _Counted)
        canvas.saveState()
        canvas.foot = (origin, size)
        rest(canvas)
        canvas.restoreState()

    return on_page


def _head(canvas: Canvas, sheet: Sheet, origin: Origin, size: tuple[float, float]) -> None:
    wide, high = size
    top, right = high - MARGIN, wide - MARGIN
    room = wide - 2 * MARGIN
    draw_line(canvas, MARGIN, top - 13, sheet.title, Type(15, bold=True), room * 0.72)
    draw_line(canvas, right, top - 9, origin.studio, Type(9, bold=True, align="right"), room * 0.27)
    aside = next((size for size in _ASIDE if width_of(sheet.aside, size) <= room), _ASIDE[-1])
    draw_line(canvas, MARGIN, top - 27, sheet.aside, Type(aside), room)
    canvas.setLineWidth(1.4)
    canvas.line(MARGIN, top - 33, right, top - 33)
    for number, line in enumerate(_loud(origin, room)):
        draw_line(canvas, MARGIN, top - 43 - number * _LOUD.line, line, _LOUD)


def _loud(origin: Origin, room: float) -> list[str]:
    """What stands above every page, whole: alarms, and that the plan is not as it was."""
    return broken(f"! {origin.stale}", room, _LOUD.size, bold=True) if origin.stale else []


def _cut_line(canvas: Canvas, size: tuple[float, float]) -> None:
    wide, high = size
    canvas.setDash(4, 3)
    canvas.setLineWidth(0.7)
    canvas.line(0, high / 2, wide, high / 2)


class _Undrawn(Frame):
    """For layout alone: what it takes in has its place there and is not drawn."""

    def add(self, flowable: Flowable, canv: Canvas, trySplit: int = 0) -> Literal[0, 1]:
        setattr(flowable, "drawOn", _nothing)  # noqa: B010  this one flowable, and it is used up by this
        return super().add(flowable, canv, trySplit)


def _nothing(*told: object, **more: object) -> None:
    return


class _Counting(Canvas):
    """For layout alone: no file comes of it."""

    def save(self) -> None:
        return


class _Counted(Canvas):
    """Holds the pages back until their count is known, and remembers which letters could not be printed."""

    def begun(self, printed: datetime) -> _Counted:
        """Dated, and with nothing held back yet."""
        self.lost: dict[str, None] = {}
        self.foot: tuple[Origin, tuple[float, float]] | None = None
        self._held: list[dict[str, object]] = []
        _date(self, printed)
        return self

    def showPage(self) -> None:
        self._held.append(dict(self.__dict__))
        self._start_next()

    def _start_next(self) -> None:
        getattr(self, "_startPage")()  # noqa: B009  the stubs do not know it

    def save(self) -> None:
        for number, state in enumerate(self._held, start=1):
            lost = self.lost
            self.__dict__.update(state)
            self.lost = lost
            if self.foot is not None:
                _foot(self, self.foot, number, len(self._held))
            super().showPage()
        super().save()


def _date(canvas: Canvas, printed: datetime) -> None:
    """Dates the file with the moment of printing, where ReportLab would put a fixed or the present time."""
    stamp = getattr(canvas, "_doc")._timeStamp  # noqa: B009  the stubs do not know it
    stamp.t = printed.timestamp()
    stamp.lt = tuple(printed.timetuple())
    stamp.YMDhms = stamp.lt[:6]
    minutes = int((printed.utcoffset() or printed - printed).total_seconds()) // 60
    stamp.dhh, stamp.dmm = int(minutes / 60), abs(minutes) % 60
    stamp.tzname = printed.tzname() or ""


def _foot(canvas: _Counted, foot: tuple[Origin, tuple[float, float]], number: int, count: int) -> None:
    origin, (wide, _) = foot
    right = wide - MARGIN
    base = MARGIN - 2
    if number == count and canvas.lost:
        names = ", ".join(letter_name(letter) for letter in canvas.lost)
        draw_line(
            canvas,
            MARGIN,
            base + 15,
            f"{BOX} stands for what could not be printed: {names}",
            TINY,
            right - MARGIN,
        )
    canvas.setLineWidth(0.7)
    canvas.line(MARGIN, base + 10, right, base + 10)
    draw_line(
        canvas,
        MARGIN,
        base,
        f"Printed {day_and_clock(origin.printed)} from {origin.source}",
        SMALL,
        (right - MARGIN) * 0.84,
    )
    draw_line(canvas, right, base, f"page {number} of {count}", Type(8, bold=True, align="right"))
