"""An item of the plan as a step of its evening, and whether that was done, by whatever told it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import replace
from datetime import datetime

from core.clock import Span, evening_of
from core.conditioning.advisor import advisor
from core.conditioning.loads.chamber_log import Member
from core.evening.tonight.sheet import Step
from core.logbook.steps import taken
from core.plan import REACHES, Do, Item, StepKind
from core.reels.needs import inspect_first, needs_repair, stays_closed
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import transfers


def item_step(item: Item) -> Step:
    """The step of a planned item that is no load."""
    subject = item.deck if item.kind == "align" else item.reel
    key = step_key(item.kind, subject, item.start)
    return Step(key, item.kind, subject, Span(item.start, item.end), item=item, reels=item.reels)


def step_key(kind: StepKind, subject: str, planned_start: datetime) -> str:
    """What an ``actual`` record is kept under."""
    return f"{kind} {subject} {planned_start.isoformat(timespec='minutes')}"


def apart(planned: Iterable[Step], others: Iterable[Step]) -> Iterator[Step]:
    """The planned steps, touches of other tapes' loads under keys of their own.

    A load that begins hours late is turned at the minute at which the plan turns the next one: its touch is
    known by chamber and moment, and told by what lies inside (``others``).
    """
    reels: dict[str, set[str]] = {}
    for one in others:
        reels.setdefault(one.key, set()).update(one.reels)
    for step in planned:
        load = step.item if step.touch else None
        inside = reels.get(step.key)
        if load is None or not inside or inside & set(load.reels):
            yield step
        else:
            yield replace(step, key=f"{step.key} of {load.start.isoformat(timespec='minutes')}")


def told_by_logs(shelf: Shelf, steps: Sequence[Step], span: Span) -> list[Step]:
    """The steps, and with them what chambers' logs alone tell of that evening: loads, and tapes taken out.

    A touch that was told at the chamber, and not as a step of the evening, is done as well. What was struck
    out of it, since those tapes were out already, is in that row.
    """
    zone, found = span.start.tzinfo, list[Step]()
    for log in advisor(shelf).loads:
        mine = [one for one in steps if one.subject == log.chamber and one.touch and one.handled]
        in_rows = {
            do: {key for one in mine if one.kind == do for key in one.reels} for do in ("load", "take out")
        }
        lay = [one.reel for one in log.members]
        if not log.trial and span.start <= log.at < span.end and not in_rows["load"] & {*lay}:
            found.append(_logged("load", log.chamber, log.at.astimezone(zone), log.at.astimezone(zone), lay))
        outs: dict[datetime, list[Member]] = {}
        for one in log.members:
            if (
                one.out is not None
                and span.start <= one.out < span.end
                and one.reel not in in_rows["take out"]
            ):
                outs.setdefault(one.out, []).append(one)
        for out, members in outs.items():
            due = min(log.planned_out(one) or out for one in members).astimezone(zone)
            reels = [one.reel for one in members]
            found.append(_logged("take out", log.chamber, due, out.astimezone(zone), reels))
    came_out = {(one.subject, key) for one in found if one.kind == "take out" for key in one.reels}
    known = [one for one in steps if one.state != "struck" or one.kind != "take out" or _apart(one, came_out)]
    return [*known, *found]


def _apart(step: Step, came_out: Set[tuple[str, str]]) -> bool:
    return any((step.subject, key) not in came_out for key in step.reels)


def _logged(do: Do, chamber: str, due: datetime, at: datetime, reels: Sequence[str]) -> Step:
    key = f"{step_key(do, chamber, at)} by its log"
    return Step(key, do, chamber, Span(due, due), "done", at, at, reels=tuple(reels))


def waits_still(shelf: Shelf, item: Item, now: datetime) -> bool:
    """True for work of this evening whose time is over, and that was neither done nor left out."""
    over = item.end <= now and evening_of(item.start) == evening_of(now)
    if not over or item.kind in ("align", "condition"):
        return False
    step = item_step(item)
    told = taken(shelf).get(step.key)
    return (told is None or told.state == "running") and not done_elsewhere(step, shelf)


def done_elsewhere(step: Step, shelf: Shelf) -> bool:
    """True where the reel was marked past what the step would reach, or that part of its tape was played."""
    stage, reel = REACHES.get(step.kind), shelf.reels.get(step.subject)
    looks = step.kind == "identify" and reel is not None and not stays_closed(reel)
    if reel is None or stage is None or (looks and inspect_first(reel)):
        return _mended(step, reel)  # a look that told no condition is still to be made
    if step.kind == "transfer" and step.item is not None and step.item.segment:
        parts = [one for one in transfers(shelf, reel) if one.name == step.item.segment]
        return reel.past(stage) or any(not one.left for one in parts)
    return reel.past(stage)


def _mended(step: Step, reel: Reel | None) -> bool:
    """True for a repair of which nothing is left, since it was told as the tape went on."""
    return step.kind == "repair" and reel is not None and reel.splices == 0 and not needs_repair(reel)
