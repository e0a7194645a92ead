"""What if: another evening, more trays or inputs, the helper on one more day; what each brings."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta

from core.plan import Plan
from core.planning.answers.changes import Change, another_evening, helper_on, more_inputs, more_trays, on_date
from core.planning.answers.more_hours import usual_evening
from core.planning.answers.proving import Asked, holds, trial
from core.planning.plan_evenings import USUAL_SECONDS, plan_evenings
from core.planning.wishes.wishes import Wishes
from core.shelf import Shelf
from core.studio.studio import WEEKDAYS, Studio
from core.values import dataclass
from core.words import day_text

#: Planning again without a change, as a reason tells it too.
AGAIN = "planning again for longer"
LEAST = 0.05  # points of score that are worth a line


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One change tried: the plan with it, songs that come sooner and by how long, reels in and out.

    ``no_longer_left`` are planned with it and were left over, ``now_left`` the other way round;
    ``now_ready`` are songs that get a date by it, ``not_ready`` those that lose theirs.
    """

    name: str
    plan: Plan
    saved: float
    sooner: tuple[tuple[str, timedelta], ...]
    now_ready: tuple[str, ...]
    no_longer_left: tuple[str, ...]
    now_left: tuple[str, ...] = ()
    not_ready: tuple[str, ...] = ()

    @property
    def brings(self) -> bool:
        """Whether it changes anything that is told of it."""
        lists = (self.no_longer_left, self.now_left, self.now_ready, self.not_ready)
        return abs(self.saved) >= LEAST or any(lists)

    def to_json(self) -> dict[str, object]:
        """As other programs read it; days are whole dates, hours elapsed."""
        sooner = [
            {"song": song, "days": days_of(gain), "hours": round(gain / timedelta(hours=1), 2)}
            for song, gain in self.sooner
        ]
        return {
            "change": self.name,
            "score": self.plan.score,
            "bound": self.plan.bound,
            "saved": self.saved,
            "sooner": sooner,
            "ready_too": list(self.now_ready),
            "not_ready": list(self.not_ready),
            "reels_more": list(self.no_longer_left),
            "reels_less": list(self.now_left),
        }


def days_of(gain: timedelta) -> int:
    """A gain in whole days, half a day counted as one."""
    return round(gain / timedelta(days=1))


def usual_changes(shelf: Shelf, plan: Plan) -> dict[str, Change]:
    """What an owner would ask first: a day more, an evening more a week, a tray, inputs, the helper."""
    studio = shelf.studio
    out: dict[str, Change] = {}
    busy = {day for row in studio.hours if row.bench for day in row.days}
    usual = [row for row in studio.hours if row.bench and row.days]
    long = max(usual, key=lambda row: row.to_minutes - row.from_minutes, default=None)
    free = _free_day(studio, plan)
    if free is not None and long is not None:
        kind = "Saturday" if free.weekday() == 5 else "day"
        span = _clock(long.from_minutes, long.to_minutes)
        out[f"one more {kind}, {day_text(free)} {span}"] = on_date(free, long.from_minutes, long.to_minutes)
    idle = next((day for day in ("fri", "sun", *WEEKDAYS) if day not in busy), None)
    if idle is not None:
        begin, end = usual_evening(studio)
        out[f"every {_name(idle)} too, {_clock(begin, end)}"] = another_evening((idle,), begin, end)
    for chamber in studio.chambers:
        out[f"{chamber.trays + 1} trays in {chamber.id}"] = more_trays(chamber.id, chamber.trays + 1)
    tracks = max((r.tracks or 0 for r in shelf.reels.values() if not r.past("transferred")), default=0)
    if studio.capture is not None and studio.capture.inputs < tracks:
        out[f"{tracks} inputs"] = more_inputs(tracks)
    if any(deck.setup_needs_helper for deck in studio.decks):
        helped = {day for row in studio.hours if row.helper for day in row.days}
        for day in [day for day in WEEKDAYS if day in busy - helped][:2]:
            out[f"the helper on {_name(day)}s"] = helper_on((day,))
    return out


def _free_day(studio: Studio, plan: Plan) -> date | None:
    """The first Saturday without bench hours in the plan, else the first date without."""
    from core.studio.opening import rows_on

    count = (plan.until.date() - plan.start.date()).days
    days = [plan.start.date() + timedelta(days=n) for n in range(1, count)]
    free = [day for day in days if not any(row.bench for row in rows_on(studio, day))]
    return next((day for day in free if day.weekday() == 5), free[0] if free else None)


def _name(day: str) -> str:
    return ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")[WEEKDAYS.index(day)]


def _clock(begin: int, end: int) -> str:
    return f"{begin // 60:02}:{begin % 60:02}-{end // 60 % 24:02}:{end % 60:02}"


@dataclass(frozen=True, slots=True)
class _Search:
    """How each shelf is planned: from when, for how long, and with ``half`` of the time twice."""

    start: datetime
    days: int
    wishes: Wishes
    kept: Plan | None
    half: float
    by_effort: bool
    stop: Callable[[], bool] | None

    def plan(self, on: Shelf, kept: Plan | None, spend: float) -> Plan:
        """One search, from that plan or from nothing."""
        spent = {"effort" if self.by_effort and spend else "seconds": spend}
        wishes = self.wishes if kept is None else replace(self.wishes, kept=kept, price=0.0)
        return plan_evenings(on, self.start, self.days, stop=self.stop, wishes=wishes, **spent)  # type: ignore[arg-type]

    def planned(self, on: Shelf, before: Plan, known: Plan) -> Plan:
        """The best of the trial, what comes of it, and a plan afresh that holds what the trial brings."""
        least = trial(Asked(on, self.days, self.wishes), replace(self.kept or before, start=self.start))
        first = min((one for one in (known, least) if holds(one, least, before)), key=_score)
        tried = (least, self.plan(on, first, self.half), self.plan(on, None, self.half))
        return min((one for one in tried if holds(one, least, before)), key=_score)


def what_if(
    shelf: Shelf,
    start: datetime,
    days: int,
    changes: Mapping[str, Change],
    *,
    seconds: float | None = None,
    effort: float | None = None,
    base: Plan | None = None,
    stop: Callable[[], bool] | None = None,
    wishes: Wishes | None = None,
    told: Callable[[str], None] | None = None,
    found: Callable[[WhatIf], None] | None = None,
) -> tuple[WhatIf, ...]:
    """Every change planned in the same time as the base, which is ``base`` as it is from now on; best first.

    Each starts from the trial by which a reason tells what would do, and none gives up what that brings; half
    of the time goes on from there and half begins from nothing. Where planning again without any change
    brings something over ``base``, that is told as a change of its own. ``told`` hears the name of each
    before it is planned, ``found`` what it brings; stopped, it gives those that are done.
    """
    amount = seconds if effort is None else effort
    half = (USUAL_SECONDS if amount is None else amount) / 2
    look = _Search(start, days, wishes or Wishes(), base, half, by_effort=effort is not None, stop=stop)
    was = look.plan(shelf, base, 0.0 if base is not None else half)
    known = look.planned(shelf, was, was)
    if base is None:
        was = known
    out = []
    if (more := _compared(AGAIN, was, known)).brings:
        out.append(more)
        if found is not None:
            found(more)
    for name, change in changes.items():
        if stop is not None and stop():
            break
        if told is not None:
            told(name)
        plan = look.planned(replace(shelf, studio=change(shelf.studio)), was, known)
        if stop is None or not stop():
            out.append(_compared(name, was, plan))
            if found is not None:
                found(out[-1])
    return tuple(sorted(out, key=lambda one: (-one.saved, one.name)))


def _score(plan: Plan) -> float:
    return plan.score


def _compared(name: str, base: Plan, plan: Plan) -> WhatIf:
    was = {one.song: one.ready for one in base.songs}
    sooner, ready, lost_songs = [], [], []
    for one in plan.songs:
        before = was.get(one.song)
        if one.ready is not None and before is None:
            ready.append(one.song)
        elif one.ready is not None and before is not None and one.ready < before:
            sooner.append((one.song, before - one.ready))
        elif one.ready is None and before is not None:
            lost_songs.append(one.song)
    sooner.sort(key=lambda pair: (-pair[1], pair[0]))
    left = {row.reel for row in plan.left_over}
    gone = tuple(row.reel for row in base.left_over if row.reel not in left)
    was_left = {row.reel for row in base.left_over}
    lost = tuple(row.reel for row in plan.left_over if row.reel not in was_left)
    saved = round(base.score - plan.score, 4)
    return WhatIf(name, plan, saved, tuple(sooner), tuple(ready), gone, lost, tuple(lost_songs))
