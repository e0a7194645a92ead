"""An item of the plan as a step of its evening, and whether that was done, by whatever told it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from core.clock import Span, evening_of, later, minutes_between
from core.evening.tonight.sheet import MOVED, Step
from core.logbook.steps import taken
from core.plan import Item, Plan
from core.reels.needs import inspect_first, needs_repair, stays_closed
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import transfers
from core.words import day_text

_REACHES = {"identify": "identified", "transfer": "transferred", "verify": "verified"}


def item_step(item: Item) -> Step:
    """The step of a planned item that is no load."""
    subject = item.deck if item.kind == "align" else item.reel
    key = step_key(item.kind, subject, item.start)
    return Step(key, item.kind, subject, Span(item.start, item.end), item=item, reels=item.reels)


def moved_away(plan: Plan, steps: Sequence[Step], span: Span, bench: Sequence[Span] = ()) -> Iterator[Step]:
    """The steps of this evening that a plan made in the midst of it has on another, or no more.

    They keep their rows, each with where it is now. One that is there under the same name is told by that.
    """
    there = {(one.kind, one.subject) for one in steps}
    begun = any(one.handled for one in steps) or any(one.start < plan.start < one.end for one in bench)
    for move in plan.moves if begun and span.start <= plan.start < span.end else ():
        was, what = move.was, (move.kind, move.reel)
        elsewhere = move.now is None or not span.start <= move.now < span.end
        if was is None or not span.start <= was < span.end or not elsewhere or what in there:
            continue
        item = next((i for i in plan.items if (i.kind, i.reel, i.start) == (*what, move.now)), None)
        if item is not None or move.now is None:
            takes = minutes_between(item.start, item.end) if item is not None else 0
            told = f"now {day_text(move.now)} {move.now:%H:%M}" if move.now else "not in this plan"
            planned = Span(was, later(was, minutes=takes))
            key = step_key(move.kind, move.reel, was)
            yield Step(key, *what, planned, MOVED, because=told, item=item, reels=(move.reel,))


def step_key(kind: str, subject: str, planned_start: datetime) -> str:
    """What an ``actual`` record is kept under."""
    return f"{kind} {subject} {planned_start.isoformat(timespec='minutes')}"


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
    stage, reel = _REACHES.get(step.kind), shelf.reels.get(step.subject)
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
