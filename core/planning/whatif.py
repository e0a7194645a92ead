"""What if: another evening, more trays or inputs, the helper on one more day; what each brings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from core.plan import Plan
from core.planning.more_hours import open_on
from core.planning.plan_evenings import plan_evenings
from core.shelf import Shelf
from core.studio.studio import HoursRow, Studio

Change = Callable[[Studio], Studio]


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One change tried: the plan with it, songs that come sooner and by how long, reels no longer left."""

    name: str
    plan: Plan
    saved: float
    sooner: tuple[tuple[str, timedelta], ...]
    now_ready: tuple[str, ...]
    no_longer_left: tuple[str, ...]


def another_evening(days: tuple[str, ...], begin: int, end: int) -> Change:
    """One more evening a week on these weekdays (``mon`` ...), minutes past midnight; bench and home."""
    row = HoursRow(days, (), begin, end, bench=True, home=True)
    return lambda studio: replace(studio, hours=(*studio.hours, row))


def on_date(day: date, begin: int, end: int) -> Change:
    """Bench time on one date, beside what its hours are already."""
    return lambda studio: open_on(studio, day, begin, end)


def more_trays(chamber: str, trays: int) -> Change:
    """So many trays in that chamber."""
    return lambda studio: replace(
        studio, chambers=tuple(replace(c, trays=trays) if c.id == chamber else c for c in studio.chambers)
    )


def more_inputs(inputs: int) -> Change:
    """So many inputs of the recorder."""
    return lambda studio: (
        studio if studio.capture is None else replace(studio, capture=replace(studio.capture, inputs=inputs))
    )


def helper_on(days: tuple[str, ...]) -> Change:
    """The helper is there in all bench time of these weekdays."""

    def change(studio: Studio) -> Studio:
        rows = tuple(
            HoursRow(days, (), row.from_minutes, row.to_minutes, helper=True)
            for row in studio.hours
            if row.bench and set(days) & set(row.days)
        )
        return replace(studio, hours=(*studio.hours, *rows))

    return change


def what_if(
    shelf: Shelf,
    start: datetime,
    days: int,
    changes: dict[str, Change],
    *,
    seconds: float | None = None,
    effort: float | None = None,
    base: Plan | None = None,
    stop: Callable[[], bool] | None = None,
) -> tuple[WhatIf, ...]:
    """Every change planned in the same time as the base (planned too where none is given), best first."""
    known = base or plan_evenings(shelf, start, days, seconds=seconds, effort=effort, stop=stop)
    out = []
    for name, change in changes.items():
        if stop is not None and stop():
            break
        other = replace(shelf, studio=change(shelf.studio))
        plan = plan_evenings(other, start, days, seconds=seconds, effort=effort, stop=stop)
        out.append(_compared(name, known, plan))
    return tuple(sorted(out, key=lambda one: (-one.saved, one.name)))


def _compared(name: str, base: Plan, plan: Plan) -> WhatIf:
    was = {one.song: one.ready for one in base.songs}
    sooner, ready = [], []
    for one in plan.songs:
        before = was.get(one.song)
        if one.ready is not None and before is None:
            ready.append(one.song)
        elif one.ready is not None and before is not None and one.ready < before:
            sooner.append((one.song, before - one.ready))
    sooner.sort(key=lambda pair: (-pair[1], pair[0]))
    left = {row.reel for row in plan.left_over}
    gone = tuple(row.reel for row in base.left_over if row.reel not in left)
    return WhatIf(name, plan, round(base.score - plan.score, 4), tuple(sooner), tuple(ready), gone)
