"""What was planned elsewhere since this evening began, by all its plans together: the newest word counts.

An evening that goes wrong is planned again more than once. What each plan moved is kept with it, so that a
step has one row and one sentence: from where it stood at first to where the newest plan has it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Any

from core.clock import Span, evening_of, later, minutes_between
from core.evening.tonight.planned_step import done_elsewhere, step_key
from core.evening.tonight.sheet import MOVED, Step
from core.logbook.steps import taken
from core.moved import WARMING, moved_words
from core.plan import Item, Move, Plan, move_json, read_move
from core.shelf import Shelf
from core.studio.opening import opening
from core.values import dataclass
from core.words import day_text

#: What it is kept under, beside the plan.
RECORD = "moved since"


@dataclass(frozen=True, slots=True)
class MovedSince:
    """The moves of an evening's plans made one; ``begun``: one of them was made in the midst of it."""

    evening: date
    begun: bool
    moves: tuple[Move, ...]

    def sentences(self, evening: date, *, only: bool = False) -> list[str]:
        """In words; ``only`` those that leave or reach that evening.

        What stays in an evening that has begun is told in one line.
        """
        told = [one for one in self.moves if not only or _touches(one, evening)]
        return moved_words(told, evening if self.begun and evening == self.evening else None)


def moved_since(shelf: Shelf, plan: Plan) -> MovedSince:
    """What that plan and those before it moved since its evening began; what is done by now did not move."""
    since = _kept_with(shelf, plan)
    moves = (_by_plan(plan, one) for one in since.moves)
    return replace(since, moves=tuple(one for one in moves if one is not None and not _done(shelf, one)))


def left_tonight(shelf: Shelf, plan: Plan, at: datetime) -> tuple[tuple[str, str, datetime], ...]:
    """Kind, reel and first time of the steps that plans made in the midst of that evening took out of it."""
    since = moved_since(shelf, plan)
    zone = shelf.studio.zone

    def on(moment: datetime | None) -> date | None:
        return evening_of(moment.astimezone(zone)) if moment is not None else None

    if not since.begun or since.evening != on(at):
        return ()
    gone = (one for one in since.moves if on(one.was) == since.evening != on(one.now))
    return tuple((one.kind, one.reel, one.was) for one in gone if one.was is not None and one.kind != WARMING)


def with_moved(shelf: Shelf, before: Plan | None, plan: Plan, now: datetime) -> Shelf:
    """The shelf with what the evening's plans have moved, now that this one follows the one before it."""
    zone = shelf.studio.zone
    since = MovedSince(evening_of(now.astimezone(zone)), _has_begun(shelf, plan), plan.moves)
    last = _kept_with(shelf, before) if before is not None else None
    if last is not None and last.begun and last.evening == since.evening:
        since = replace(since, begun=True, moves=_joined(last.moves, since.moves))
    record = {
        "evening": since.evening.isoformat(),
        "number": plan.number,
        "begun": since.begun,
        "moves": [move_json(one) for one in since.moves],
    }
    return shelf.with_record("plan", RECORD, record)


def moved_away(shelf: Shelf, plan: Plan, steps: Sequence[Step], span: Span) -> Iterator[Step]:
    """The steps of this evening that plans made in the midst of it have on another, or no more.

    They keep their rows, each with where it is now. One that is there under the same name is told by that.
    """
    since = moved_since(shelf, plan)
    here = since.begun or any(one.handled for one in steps)
    if not here or not span.start <= plan.start < span.end:
        return
    there = {(one.kind, one.subject) for one in steps}
    for move in since.moves:
        was = move.was
        elsewhere = move.now is None or not span.start <= move.now < span.end
        if (
            was is None
            or not span.start <= was < span.end
            or not elsewhere
            or (move.kind, move.reel) in there
        ):
            continue
        item = next((one for one in _items(plan, move) if one.start == move.now), None)
        if move.kind == WARMING or (item is None and move.now is not None):
            continue
        takes = minutes_between(item.start, item.end) if item is not None else 0
        told = f"now {day_text(move.now)} {move.now:%H:%M}" if move.now else "not in this plan"
        planned = Span(was, later(was, minutes=takes))
        key = step_key(move.kind, move.reel, was)
        yield Step(key, move.kind, move.reel, planned, MOVED, because=told, item=item, reels=(move.reel,))


def _kept_with(shelf: Shelf, plan: Plan) -> MovedSince:
    """What is kept with that plan, else what it moved alone."""
    record: Mapping[str, Any] | None = shelf.of_kind("plan").get(RECORD)
    if record is not None and record["number"] == plan.number:
        moves = tuple(read_move(one, shelf.studio.zone) for one in record["moves"])
        return MovedSince(date.fromisoformat(record["evening"]), record["begun"], moves)
    made = (plan.made_at or plan.start).astimezone(shelf.studio.zone)
    return MovedSince(evening_of(made), _has_begun(shelf, plan), plan.moves)


def _has_begun(shelf: Shelf, plan: Plan) -> bool:
    """True for a plan that was made in the midst of its evening's bench, or behind its first step."""
    made = (plan.made_at or plan.start).astimezone(shelf.studio.zone)
    day, start = evening_of(made), plan.start
    bench = opening(shelf.studio, "bench", start, later(start, minutes=1))
    if evening_of(start) == day and any(one.start < start < one.end for one in bench):
        return True
    times = (one.started or one.finished for one in taken(shelf).values())
    zone = shelf.studio.zone
    return any(at is not None and evening_of(at.astimezone(zone)) == day and at <= made for at in times)


def _joined(earlier: Iterable[Move], newer: Iterable[Move]) -> tuple[Move, ...]:
    """Earlier moves with the newer ones that go on from them; what came back to its place moved nowhere."""
    out = list(earlier)
    for move in newer:
        goes_on = (n for n, one in enumerate(out) if _goes_on(one, move))
        place = next(goes_on, None)
        if place is None:
            out.append(move)
        else:
            out[place] = _joined_to(out[place], move)
    return tuple(one for one in out if one.was != one.now)


def _joined_to(earlier: Move, newer: Move) -> Move:
    """Both as one move; its reason is the newer one's, but where that only takes back a part of the way."""
    was, between, now = earlier.was, newer.was, newer.now
    if was is not None and between is not None and now is not None:
        back = (now > was) != (now > between)
        return replace(newer, was=was, why=earlier.why if back else newer.why)
    return replace(newer, was=was)


def _goes_on(earlier: Move, newer: Move) -> bool:
    same = (earlier.kind, earlier.reel) == (newer.kind, newer.reel)
    return same and newer.was == earlier.now


def _by_plan(plan: Plan, move: Move) -> Move | None:
    """The move with where that plan has its step; None where that is where it stood at first."""
    starts = [one.start for one in _items(plan, move)]
    now = move.now if move.now in starts else min(starts, default=None)
    return None if now == move.was else replace(move, now=now)


def _items(plan: Plan, move: Move) -> list[Item]:
    kind = "condition" if move.kind == WARMING else move.kind
    return [one for one in plan.items if one.kind == kind and move.reel in one.reels]


def _done(shelf: Shelf, move: Move) -> bool:
    """True for what was done since, or its reel is gone."""
    reel, at = shelf.reels.get(move.reel), move.was or move.now
    if reel is None or at is None:
        return True
    if move.kind == WARMING:
        return move.now is None and (bool(reel.chamber) or reel.past("conditioned"))
    if move.kind == "audition":
        return bool(reel.heard)
    return done_elsewhere(Step("", move.kind, move.reel, Span(at, at)), shelf)


def _touches(move: Move, evening: date) -> bool:
    return evening in [evening_of(one) for one in (move.was, move.now) if one is not None]
