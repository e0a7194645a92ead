"""Evenings with time left, and the desk work that could fill it; a plan's items never hold such work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from core.clock import Span, clipped, joined
from core.plan import Plan
from core.planning.facts import said
from core.reels import minutes, needs
from core.shelf import Shelf
from core.studio.opening import opening

LEAST = 15  # minutes from which a gap is worth telling
KINDS = 3  # kinds of desk work named for one evening
#: Minutes that desk work is reckoned at: common practice, only to spread it over the evenings.
FACTS, SHEET, SONG = 10, 20, 5


@dataclass(frozen=True, slots=True)
class DeskWork:
    """Work without deck or chamber: what to do, to what, and minutes reckoned for it."""

    what: str
    about: str
    minutes: int


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


def desk_work(shelf: Shelf, plan: Plan) -> Iterator[DeskWork]:
    """What could be done at a desk and is not in the plan, what holds others up first."""
    planned = {(item.kind, reel) for item in plan.items for reel in item.reels}
    looks = int(minutes.identify_minutes(shelf.studio))
    for reel in shelf.reels.values():
        if reel.calibration or reel.past("transferred") or reel.set_aside:
            continue
        if "mould" in reel.troubles:
            continue
        missing = needs.unknown_facts(reel, shelf.studio)
        if reel.stage == "found" and ("identify", reel.key) not in planned:
            yield DeskWork("identify", reel.key, looks)
        elif missing and reel.stage != "found":
            yield DeskWork(f"find out the {' and '.join(missing)} of", reel.key, FACTS)
    for reel in shelf.reels.values():
        if reel.stage == "transferred" and ("verify", reel.key) not in planned:
            yield DeskWork("verify", reel.key, minutes.verify_minutes(reel, shelf.studio))
    yield from paper_work(shelf)


def paper_work(shelf: Shelf) -> Iterator[DeskWork]:
    """Sheets and songs that are not complete; the box of a mouldy tape is opened for none of them."""
    named = {row.reel for row in shelf.sheets if row.reel}
    sung = {row.song for row in shelf.sheets}
    for song in shelf.songs.values():
        if not song.needs:
            yield DeskWork("write down the reels of", song.title or song.key, SONG)
        elif song.key not in sung:
            yield DeskWork("write down the parts of", song.title or song.key, SHEET)
    for reel in shelf.reels.values():
        many = not reel.calibration and reel.tracks is not None and reel.tracks > 2
        if many and reel.key not in named and "mould" not in reel.troubles:
            yield DeskWork("write the track sheet of", reel.key, SHEET)
    unsung = dict.fromkeys(row.sheet for row in shelf.sheets if not row.song and row.part)
    for sheet in unsung:
        yield DeskWork("write the song on sheet", sheet, SONG)
