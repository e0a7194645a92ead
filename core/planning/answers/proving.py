"""What would do, tried: the evenings planned with it, before it is named as what would do it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import partial
from random import Random

from core.plan import Plan
from core.planning.answers.changes import loud_on, more_trays, there_on
from core.planning.answers.more_hours import open_on
from core.planning.answers.remedy import Change
from core.planning.bench.draft import Draft, cost, ends_of
from core.planning.bench.follow import follow
from core.planning.bench.recreate import improve_rounds
from core.planning.facts.problem import Job, Problem
from core.planning.plan_evenings import plan_evenings
from core.planning.wishes.wishes import Wishes
from core.shelf import Shelf
from core.studio.opening import Flag
from core.studio.studio import Studio
from core.values import dataclass

EACH = 0.5  # effort of one trial
ROUNDS = 120  # of reels entered anew, where only one rule less is asked about


@dataclass(frozen=True, slots=True)
class Asked:
    """What a plan is asked of: shelf, days, wishes."""

    shelf: Shelf
    days: int
    wishes: Wishes


@dataclass(slots=True)
class Proof:
    """Plans with a change, as long as ``left`` of its effort lasts."""

    left: float

    def shows(self, asked: Asked, kept: Plan, change: Change, reel: str, song: str, by: date | None) -> bool:
        """Whether the plan with that change has the reel, or by a date the song that is asked about."""
        if self.left < EACH:
            return False
        self.left -= EACH
        plan = trial(changed(asked, change), kept)
        if song and by is not None:
            ends = [one.ready for one in plan.songs if one.song == song]
        else:
            ends = [item.end for item in plan.items if item.kind == "verify" and item.reel == reel]
        return any(end is not None and (by is None or end.date() <= by) for end in ends)


def trial(asked: Asked, kept: Plan) -> Plan:
    """What the kept plan becomes: the trial that tells what would do, and the least that a what-if shows."""
    wishes = replace(asked.wishes, kept=kept, price=0.0)
    return plan_evenings(asked.shelf, kept.start, asked.days, effort=EACH, wishes=wishes)


def holds(plan: Plan, least: Plan, base: Plan) -> bool:
    """Whether a plan has every reel that ``least`` has over the base, and every song by the same date."""
    left, was_left = ({row.reel for row in one.left_over} for one in (least, base))
    if {row.reel for row in plan.left_over} & (was_left - left):
        return False
    was, now = ({one.song: one.ready for one in each.songs} for each in (base, plan))
    for song in least.songs:
        before, after = was.get(song.song), now.get(song.song)
        gained = song.ready is not None and (before is None or song.ready.date() < before.date())
        if song.ready is not None and gained and (after is None or after.date() > song.ready.date()):
            return False
    return True


def comes_in(problem: Problem, draft: Draft, job: Job, last: int) -> bool:
    """Whether reels that are entered anew, round after round, bring that one in by then."""
    left = iter(range(ROUNDS, 0, -1))
    best = improve_rounds(
        problem, follow(problem, draft, exact=True), partial(cost, problem), Random(1),
        lambda: next(left, 0) / ROUNDS,
    )  # fmt: skip
    end = ends_of(best).get(job.index)
    return end is not None and end <= last


def changed(asked: Asked, change: Change) -> Asked:
    """The same with that change."""
    if change.kind == "days":
        return replace(asked, days=change.count)
    if change.kind == "wishes":
        return replace(asked, wishes=change.wishes or asked.wishes)
    if change.kind == "fit":
        return replace(asked, shelf=_fit(asked.shelf, change.keys))
    return replace(asked, shelf=replace(asked.shelf, studio=_studio(asked.shelf.studio, change)))


def _fit(shelf: Shelf, keys: tuple[str, ...]) -> Shelf:
    """The shelf on which those calibration reels were looked at and found sound."""
    for key in keys:
        sound = replace(
            shelf.reels[key], stage="identified", condition=("ok",), stock="", base="polyester", signs=(),
            conditioned_at=None, playable_until=None,
        )  # fmt: skip
        shelf = shelf.with_reel(sound)
    return shelf


def _studio(studio: Studio, change: Change) -> Studio:
    assert change.kind == "trays" or change.day is not None
    if change.kind == "trays":
        return more_trays(change.keys[0], change.count)(studio)
    if change.day is None:
        return studio
    if change.kind == "loud":
        return loud_on(change.day, change.begin, change.end)(studio)
    if change.kind in ("helper", "home"):
        flag: Flag = "helper" if change.kind == "helper" else "home"
        return there_on(flag, change.day, change.begin, change.end)(studio)
    return open_on(studio, change.day, change.begin, change.end, helper=change.kind == "bench and helper")
