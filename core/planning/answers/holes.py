"""Evenings with time left, and the desk work that could fill it; a plan's items never hold such work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime

from core.clock import Span, clipped, joined
from core.plan import Plan
from core.planning.answers.desk_work import DeskWork, desk_work
from core.planning.facts import said
from core.shelf import Shelf
from core.studio.opening import opening
from core.values import dataclass

LEAST = 15  # minutes from which a gap is worth telling
KINDS = 3  # kinds of desk work named for one evening


@dataclass(frozen=True, slots=True)
class Hole:
    """An evening's longest gap, all of its free minutes, and desk work that could fill them."""

    day: date
    start: datetime
    end: datetime
    minutes: int
    work: tuple[str, ...]

    def to_json(self) -> dict[str, object]:
        """As other programs read it."""
        from core.clock import write_time

        gap = {"from": write_time(self.start), "to": write_time(self.end)}
        return {"date": str(self.day), "minutes": self.minutes, "longest": gap, "could": list(self.work)}


def holes(shelf: Shelf, plan: Plan) -> tuple[Hole, ...]:
    """Every bench window of the plan with a gap worth telling; the shelf's desk work is spread over them."""
    left = list(desk_work(shelf, plan))
    busy = joined(
        span
        for item in plan.items
        for span in (
            [Span(t.start, t.end) for t in item.touches if t.end > t.start]
            if item.kind == "condition"
            else [Span(item.start, item.end)]
            if item.end > item.start
            else []
        )
    )
    out = []
    for window in opening(shelf.studio, "bench", plan.start, plan.until):
        first, last = max(window.start, plan.start), min(window.end, plan.until)
        gaps = [gap for gap in _gaps(first, last, busy) if gap.minutes >= LEAST]
        if not gaps:
            continue
        room = total = int(sum(gap.minutes for gap in gaps))
        work: dict[str, list[str]] = {}
        while left and left[0].minutes <= room and (len(work) < KINDS or left[0].what in work):
            room -= left[0].minutes
            one = left.pop(0)
            work.setdefault(one.what, []).append(one.about)
        longest = max(gaps, key=lambda gap: gap.minutes)
        out.append(Hole(first.date(), longest.start, longest.end, total, tuple(_words(work))))
    return tuple(out)


def in_words(tasks: Iterable[DeskWork]) -> list[str]:
    """The work with what is alike in one: ``write the track sheet of R-002, R-004 and 3 more``."""
    work: dict[str, list[str]] = {}
    for one in tasks:
        work.setdefault(one.what, []).append(one.about)
    return list(_words(work))


def _words(work: dict[str, list[str]]) -> Iterator[str]:
    return (f"{what} {said.listed(about)}" for what, about in work.items())


def _gaps(first: datetime, last: datetime, busy: tuple[Span, ...]) -> Iterator[Span]:
    at = first
    for span in clipped(busy, first, last) if first < last else ():
        if span.start > at:
            yield Span(at, span.start)
        at = max(at, span.end)
    if last > at:
        yield Span(at, last)
