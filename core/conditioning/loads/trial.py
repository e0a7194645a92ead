"""The empty run before a chamber's first load: common practice, since a dial tells only the air.

No plan holds it, and it needs no hands: it runs on an evening before, beside whatever is done then, with
somebody at home. So it costs nobody any time, and every face names the same evening.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from core.clock import clipped, evening_of, later, minutes_between
from core.conditioning.loads.chamber_flags import trial_needed
from core.conditioning.loads.chamber_log import ChamberLog
from core.conditioning.loads.kept_loads import loads_of, running_load
from core.conditioning.loads.left_inside import left_inside
from core.conditioning.loads.limits import limits_of
from core.plan import Item, Plan
from core.shelf import Shelf
from core.studio.opening import opening
from core.values import dataclass
from core.words import day_text


def trial_words(shelf: Shelf, chamber: str) -> str:
    """What is asked for before a chamber's first load; empty once an empty run was read at two places."""
    if not trial_needed(loads_of(shelf).values(), chamber):
        return ""
    return (
        f"{chamber} had no empty run yet: run it empty for an evening, better as long as a load, with a "
        "second thermometer, and read two places."
    )


def trial_short(shelf: Shelf, chamber: str) -> str:
    """The same beside a load that is told already."""
    asked = trial_needed(loads_of(shelf).values(), chamber)
    return f"{chamber} had no empty run yet: run it empty first, and read two places" if asked else ""


@dataclass(frozen=True, slots=True)
class EmptyRun:
    """The empty run that a chamber is to have before its first planned load, and when there is time for it.

    ``start`` and ``end`` are a stretch at home before that load; None where there is none long enough.
    ``since``: when the one of this evening began, of which no readings are told yet. ``loaded``: one or more
    loads went in without it.
    """

    chamber: str
    load: datetime
    start: datetime | None = None
    end: datetime | None = None
    since: datetime | None = None
    loaded: bool = False

    @property
    def which(self) -> str:
        """Which load it comes before: the chamber's first, or the next where one went in without it."""
        return "its next load" if self.loaded else "its first load"

    @property
    def runs(self) -> str:
        """That it runs, and what is still to be done of it; empty where it is to begin."""
        if self.since is None:
            return ""
        return f"{self.chamber}'s empty run runs since {self.since:%H:%M}: read two places"

    @property
    def words(self) -> str:
        """What to do, without its day: it stands where that day is told."""
        if self.runs:
            return f"{self.runs}, somebody at home"
        if self.start is None or self.end is None:
            return f"run {self.chamber} empty first: {_HOW}, and load when it reads well"
        return f"{self.start:%H:%M} to {self.end:%H:%M} run {self.chamber} empty: {_HOW}"

    @property
    def brief(self) -> str:
        """The same for one line of a screen; empty where there is no time for it."""
        if self.runs or self.start is None or self.end is None:
            return self.runs
        return f"{self.start:%H:%M}-{self.end:%H:%M} run {self.chamber} empty, two places read"

    @property
    def dated(self) -> str:
        """The same with its day, and the load that it comes before."""
        load = f"{self.which} {day_text(self.load.date())} {self.load:%H:%M}"
        if self.runs:
            return f"{self.words}, before {load}"
        if self.start is None:
            return f"before {load}: {self.words}; no evening is left before it"
        return f"{day_text(evening_of(self.start))} {self.words}, before {load}"


_HOW = "a second thermometer, two places read, someone at home"


def empty_runs(shelf: Shelf, plan: Plan | None, now: datetime) -> tuple[EmptyRun, ...]:
    """The empty runs that are due by that plan, one a chamber, those with time for them first.

    The last stretch at home before the load that is as long as the load; else the last that is long enough to
    be warm and read twice. What is left of it counts where it has begun, and only what lies behind the hours
    of a load that is inside; there is none while tapes lie in a chamber that is off.
    """
    first: dict[str, Item] = {}
    for item in plan.items if plan is not None else ():
        known = first.get(item.chamber)
        if item.kind != "condition" or item.start < now:
            continue
        begun = _begun(shelf, item.chamber)
        if (begun is None or item.start > begun) and (known is None or item.start < known.start):
            first[item.chamber] = item
    logs = loads_of(shelf) if first else {}
    lie = {logs[load].chamber for load in left_inside(shelf).values()} if first else set()
    due = (
        replace(
            _due(shelf, load, now),
            since=_runs_since(logs.values(), chamber, now),
            loaded=_begun(shelf, chamber) is not None,
        )
        for chamber, load in first.items()
        if chamber not in lie and trial_needed(logs.values(), chamber)
    )
    return tuple(sorted(due, key=lambda one: one.start or one.load))


def _runs_since(logs: Iterable[ChamberLog], chamber: str, now: datetime) -> datetime | None:
    """When the empty run of this evening began that is the chamber's newest load; None where none did."""
    newest = max((one for one in logs if one.chamber == chamber), key=lambda one: one.at, default=None)
    if newest is None or not newest.trial or newest.at > now:
        return None
    began = newest.at.astimezone(now.tzinfo)
    return began if evening_of(began) == evening_of(now) else None


def empty_run_on(shelf: Shelf, plan: Plan | None, day: date, now: datetime) -> tuple[EmptyRun, ...]:
    """Those of one evening."""
    return tuple(
        one for one in empty_runs(shelf, plan, now)
        if (at := one.since or one.start) is not None and evening_of(at) == day
    )  # fmt: skip


def _due(shelf: Shelf, load: Item, now: datetime) -> EmptyRun:
    least = 2 * limits_of(shelf).settle_minutes
    free = min(max(now, _free(shelf, load.chamber, now)), load.start)
    home = clipped(opening(shelf.studio, "home", free, load.start), free, load.start)
    runs = [span for span in home if span.minutes >= least]
    whole = [span for span in runs if span.minutes >= minutes_between(load.start, load.end)]
    best = next(iter([*reversed(whole), *reversed(runs)]), None)
    zone = load.start.tzinfo
    if best is None:
        return EmptyRun(load.chamber, load.start)
    return EmptyRun(load.chamber, load.start, best.start.astimezone(zone), best.end.astimezone(zone))


def _free(shelf: Shelf, chamber: str, now: datetime) -> datetime:
    """When the chamber is empty: behind the last touch of the load that runs in it, if one does."""
    one, key = shelf.studio.chamber(chamber), running_load(shelf, chamber)
    log = loads_of(shelf).get(key) if key is not None else None
    if one is None or log is None:
        return now
    outs = [out for member in log.members if member.out is None and (out := log.planned_out(member))]
    return later(max(outs), minutes=one.touch_minutes) if outs else now


def is_first(shelf: Shelf, plan: Plan, load: Item) -> bool:
    """Whether no load of that chamber is planned before: the empty run that is asked for lies before it.

    One that has begun without an empty run does not stand for one: it is the next that it comes before.
    """
    begun = _begun(shelf, load.chamber)
    loads = [one.start for one in plan.items if one.kind == "condition" and one.chamber == load.chamber]
    ahead = [start for start in loads if begun is None or start > begun or load.start <= begun]
    return all(start >= load.start for start in ahead)


def _begun(shelf: Shelf, chamber: str) -> datetime | None:
    """Up to when a planned load of that chamber is the newest that began; None where none did.

    A hand is a little sooner than the plan, and no two loads begin within an hour.
    """
    logs = loads_of(shelf).values()
    newest = max((one.at for one in logs if one.chamber == chamber and one.members), default=None)
    return later(newest, hours=1) if newest is not None else None
