"""What a new plan moves of the one before it, what that costs, and in words what moved and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from fractions import Fraction
from math import floor
from typing import Literal

from core.plan import Kind, Move, MoveKind, Plan
from core.planning.bench.carry_on import opened_at
from core.planning.bench.draft import Draft, cost, ends_of, waiting
from core.planning.bench.follow import draft_of_plan, is_left, part_of
from core.planning.bench.move_reasons import Key, Reasons, free_to_drop
from core.planning.facts.problem import Problem, Stretch
from core.values import dataclass
from core.words import day_text

SOON = 7 * 1440  # minutes in which a move counts whole
PARTS, LATER = 40, Fraction(1, 10)  # of a whole move: in which moves are weighed; what a later one counts
LIGHTEST = 4  # parts of a look or a verify of tonight
WHOLE = {(True, False): 40, (False, False): 4, (True, True): 10, (False, True): 1}
"""Parts of a move in the next seven days, or later; of a look or a verify fewer: those give way to a tape."""


def _called(kind: Kind | Literal["load"]) -> MoveKind:
    """What such a step is called where its move is told."""
    return "warming" if kind == "load" else "warming" if kind == "condition" else kind


def starts_of(draft: Draft) -> dict[Key, int]:
    """When each reel's steps start, and when it goes into a chamber; line-ups follow their reels."""
    out: dict[Key, int] = {(s.job, s.kind, s.part): s.start for s in draft.steps if s.job >= 0}
    for load in draft.loads:
        out |= {(index, "load", 0): load.start for index in load.members}
    return out


@dataclass(frozen=True, slots=True)
class Told:
    """What was told of the kept plan: when its items start, in minutes, and where a move disturbs nobody."""

    at: Mapping[Key, int]
    spare: tuple[
        Stretch, ...
    ] = ()  # evenings for which nothing was told: those that were added since, above all
    tonight: int = 0  # until when the evening under way lasts; 0 between two

    def moved(self, draft: Draft) -> Fraction:
        """What is elsewhere or gone, weighed.

        What stays in the evening under way is no move, nor what comes sooner in one that was free.
        """
        now = starts_of(draft)
        gone = (key for key, was in self.at.items() if now.get(key) != was)
        far = (key for key in gone if not self._stays(self.at[key], now.get(key)))
        return Fraction(sum(self._parts(key) for key in far), PARTS)

    def weight(self, key: Key) -> Fraction:
        """How much a move counts: whole in the next seven days, but for a look or a verify."""
        return Fraction(self._parts(key), PARTS)

    def _parts(self, key: Key) -> int:
        was, table = self.at[key], key[1] in ("identify", "verify")
        if was < self.tonight and table:
            return LIGHTEST
        return WHOLE[was < SOON, table]

    def _stays(self, was: int, at: int | None) -> bool:
        if at is None or at == was:
            return at == was
        if was < self.tonight:
            return at < self.tonight
        return at < was and any(first <= at < over for first, over in self.spare)


def told_of(problem: Problem, plan: Plan, left: Iterable[tuple[str, str, datetime]] = ()) -> Told:
    """What was told of that plan, with what was to be done tonight before now and is left.

    ``left``: what left the evening under way, as kind, reel and when it was to be done: told as it was there.
    """
    opened = opened_at(problem)
    kept = draft_of_plan(problem, plan, since=opened or 0)
    at = {key: start for key, start in starts_of(kept).items() if not free_to_drop(problem, key)}
    if opened is not None:
        was = {(kind, reel): problem.scale.exact(then) for kind, reel, then in left}
        named = {key: was.get((key[1], problem.jobs[key[0]].key)) for key in at}
        at |= {key: floor(then) for key, then in named.items() if then is not None}
    starts = [step.start for step in kept.steps]
    evenings = ((window.start, window.over) for window in problem.windows)
    spare = tuple(one for one in evenings if not any(one[0] <= start < one[1] for start in starts))
    return Told(at, spare, problem.windows[0].over if opened is not None else 0)


def moved_soon(kept: Mapping[Key, int], draft: Draft) -> int:
    """How many items of the next seven days moved."""
    now = starts_of(draft)
    return sum(1 for key, start in kept.items() if start < SOON and now.get(key) != start)


def moves(
    problem: Problem,
    kept: Draft,
    fitting: Draft,
    draft: Draft,
    gone: dict[Key, int] | None = None,
    answered: dict[int, str] | None = None,
    logged: Callable[[str, str, datetime], str] = lambda kind, reel, was: "",
    tonight: Stretch | None = None,
    left_out: Callable[[str, str, datetime], str] = lambda kind, reel, was: "",
) -> list[Move]:
    """What is done at another time than the kept plan had it, is new, or is in the plan no more, and why.

    ``fitting``: the kept plan as far as it still fits. Steps that are done are in none of the three.
    ``gone``: steps of it that are not done and lie before this plan or behind its end, in its minutes.
    ``answered``: reels that it left over as barred, or until they were looked at, and what that was.
    ``logged``: what the log tells of a step of a reel that was to be done then and is still to be done.
    ``left_out``: why somebody left a step of the evening under way out, before its time came.
    ``tonight``: the evening under way; what was to be done in it till now is late, and no more.
    """
    old, still, now = (gone or {}) | starts_of(kept), starts_of(fitting), starts_of(draft)
    keys = {key for key in old if now.get(key) != old[key]} | {key for key in now if key not in old}
    reasons = Reasons(problem, kept, draft, answered or {})
    placed = {index for index, _, _ in old}
    beyond = {key for key, start in (gone or {}).items() if start >= problem.now}
    ends = {index for index, _, _ in beyond}
    out = []
    for key in sorted(keys, key=lambda one: (old.get(one, now.get(one, 0)), one)):
        index, kind, _ = key
        if problem.jobs[index].calibration:
            continue
        was, new = old.get(key), now.get(key)
        if was is None:
            why = reasons.new(key, placed=index in placed)
        elif was < problem.now:
            told = logged(kind, problem.jobs[index].key, problem.scale.moment(was))
            why = told or _gone_by(problem, key, was, new, tonight)
        elif told := left_out(kind, problem.jobs[index].key, problem.scale.moment(was)):
            why = told
        elif new is None and index in ends:
            why = f"this plan ends on {day_text(problem.scale.until)}"
        elif new is None and free_to_drop(problem, key):
            why = "it is playable without"
        elif still.get(key) != was and key not in beyond:
            why = reasons.kept_out(key, was, new, still)
        else:
            why = reasons.of(index, was, new)
        before, after = (None if one is None else problem.scale.moment(one) for one in (was, new))
        out.append(Move(_called(kind), problem.jobs[index].key, before, after, why))
    return out


def _gone_by(problem: Problem, key: Key, was: int, new: int | None, tonight: Stretch | None) -> str:
    """Why a step is planned again whose time is over: late in the evening under way, else as it says."""
    late = tonight is not None and was >= tonight[0] and key[1] != "load"
    if late and tonight is not None and not (new is not None and new < tonight[1]):
        return "late, and others come first that evening"
    return _over(problem, key, was)


def _over(problem: Problem, key: Key, was: int) -> str:
    """Why a step is planned again whose time is over: not done, or a warming that has lapsed since."""
    index, kind, _ = key
    out = problem.jobs[index].reel.conditioned_at
    if kind == "load" and out is not None and out > problem.scale.moment(was):
        return "it was warmed then, and its playable days are over"
    if kind == "identify" and problem.jobs[index].reel.stage != "found":
        return "nobody told its condition then"
    return "it did not have its hours then" if kind == "load" else "it was not done then"


def not_done(problem: Problem, plan: Plan) -> dict[Key, int]:
    """The steps of a plan before this one, or behind its end, that are not done, in minutes of this one."""
    place = {job.key: job for job in problem.jobs}
    out: dict[Key, int] = {}
    for item in plan.items:
        start = problem.scale.exact(item.start)
        inside = start >= problem.now and problem.scale.exact(item.end) <= problem.end
        kind = "load" if item.kind == "condition" else item.kind
        for job in (place[key] for key in item.reels if key in place and not inside):
            part = part_of(job, item)
            left = job.warmth == "must" if kind == "load" else part >= 0 and is_left(job, kind)
            if left and not job.calibration:
                out[job.index, kind, part] = floor(start)
    return out


def answered(problem: Problem, plan: Plan) -> dict[int, str]:
    """By job, why a reel is in this plan that was not in that one: what barred it, or its look."""
    left = {one.reel: one for one in plan.left_over}
    looks = {item.reel for item in plan.items if item.kind == "identify"}
    out: dict[int, str] = {}
    for job in problem.jobs:
        if job.key in left and left[job.key].barred_by:
            out[job.index] = f"no longer barred ({left[job.key].barred_by})"
        elif job.key in left and job.key in looks and not job.look:
            out[job.index] = "it was looked at"
        elif job.key not in left and not any(job.key in item.reels for item in plan.items):
            out[job.index] = "it was not to be done before"
    return out


def what_stays(problem: Problem, kept: Draft, fitting: Draft) -> Fraction:
    """What the kept plan still costs, with the reels left over whose steps no longer fit where they were."""
    before, after = ends_of(kept), ends_of(fitting)
    still = {job: end for job, end in after.items() if before.get(job) == end}
    return cost(problem, fitting) - waiting(problem, after) + waiting(problem, still)


def barred_since(problem: Problem, kept: Plan) -> list[Move]:
    """The steps of the kept plan that lie ahead, with reels that are barred now."""
    done = {"identify"}
    return [
        Move(_called(item.kind), key, item.start, None, problem.barred[key])
        for item in kept.items
        if problem.scale.exact(item.start) >= problem.now and item.kind not in done
        for key in item.reels
        if key in problem.barred
    ]
