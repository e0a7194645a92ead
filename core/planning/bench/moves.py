"""What a new plan moves of the one before it, what that costs, and in words what moved and why."""

from __future__ import annotations

from fractions import Fraction
from math import floor

from core.plan import Move, Plan
from core.planning.bench.draft import Draft, Step, cost, ends_of, waiting
from core.planning.bench.follow import is_left, part_of
from core.planning.facts.problem import Problem, SongFacts
from core.words import day_text

SOON = 7 * 1440  # minutes in which a move counts whole
LATER = Fraction(1, 10)

Key = tuple[int, str, int]
WORDS = {"load": "warming", "condition": "warming"}


def starts_of(draft: Draft) -> dict[Key, int]:
    """When each reel's steps start, and when it goes into a chamber; line-ups follow their reels."""
    out = {(s.job, s.kind, s.part): s.start for s in draft.steps if s.job >= 0}
    for load in draft.loads:
        out |= {(index, "load", 0): load.start for index in load.members}
    return out


def free_to_drop(problem: Problem, key: Key) -> bool:
    """True for the warming of a tape that is playable: to leave it out is no move."""
    index, kind, _ = key
    return kind == "load" and problem.jobs[index].warmth == "may"


def weight(start: int) -> Fraction:
    """How much the move of an item counts that was to start then."""
    return Fraction(1) if start < SOON else LATER


def moved_weight(kept: dict[Key, int], draft: Draft) -> Fraction:
    """The items of the kept plan that are elsewhere or gone, those of the next seven days whole."""
    now = starts_of(draft)
    return sum((weight(start) for key, start in kept.items() if now.get(key) != start), start=Fraction(0))


def moved_soon(kept: dict[Key, int], draft: Draft) -> int:
    """How many items of the next seven days moved."""
    now = starts_of(draft)
    return sum(1 for key, start in kept.items() if start < SOON and now.get(key) != start)


def moves(
    problem: Problem, kept: Draft, fitting: Draft, draft: Draft, gone: dict[Key, int] | None = None
) -> list[Move]:
    """What is done at another time than the kept plan had it, is new, or is in the plan no more, and why.

    ``fitting``: the kept plan as far as it still fits. Steps that are done are in none of the three.
    ``gone``: steps of it that are not done and whose time is over, in minutes before this plan begins.
    """
    old, still, now = (gone or {}) | starts_of(kept), starts_of(fitting), starts_of(draft)
    keys = {key for key in old if now.get(key) != old[key]} | {key for key in now if key not in old}
    reasons = _Reasons(problem, kept, draft)
    placed = {index for index, _, _ in old}
    out = []
    for key in sorted(keys, key=lambda one: (old.get(one, now.get(one, 0)), one)):
        index, kind, _ = key
        if problem.jobs[index].calibration:
            continue
        was, new = old.get(key), now.get(key)
        if was is None:
            why = reasons.new(key, placed=index in placed)
        elif was < 0:
            why = _over(problem, key, was)
        elif new is None and free_to_drop(problem, key):
            why = "it is playable without"
        elif still.get(key) != was:
            sooner = new is not None and new < was
            why = reasons.kept_out(index, was, still, sooner=sooner)
        else:
            why = reasons.of(index, was, new)
        before, after = (None if one is None else problem.scale.moment(one) for one in (was, new))
        out.append(Move(WORDS.get(kind, kind), problem.jobs[index].key, before, after, why))
    return out


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
    """The steps of a plan whose time was before this one and that are not done, in minutes below nought."""
    place = {job.key: job for job in problem.jobs}
    out: dict[Key, int] = {}
    for item in plan.items:
        start = problem.scale.exact(item.start)
        kind = "load" if item.kind == "condition" else item.kind
        for job in (place[key] for key in item.reels if key in place and start < 0):
            part = part_of(job, item)
            left = job.warmth == "must" if kind == "load" else part >= 0 and is_left(job, kind)
            if left and not job.calibration:
                out[job.index, kind, part] = floor(start)
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
        Move(WORDS.get(item.kind, item.kind), key, item.start, None, problem.barred[key])
        for item in kept.items
        if problem.scale.exact(item.start) >= 0 and item.kind not in done
        for key in item.reels
        if key in problem.barred
    ]


class _Reasons:
    """Why a step that could have stayed is elsewhere: a song is ready sooner, or room was needed."""

    def __init__(self, problem: Problem, kept: Draft, draft: Draft) -> None:
        before, after = ends_of(kept), ends_of(draft)
        counted = problem.comfort.counted
        self.problem, self.kept, self.sooner = problem, kept, dict[int, str]()
        for song in problem.songs:
            had, gets = _ready(song, before), _ready(song, after)
            if gets is not None and (had is None or counted(gets) < counted(had)):
                for job in song.jobs:
                    self.sooner.setdefault(job, song.key)

    def new(self, key: Key, *, placed: bool) -> str:
        """The reason for a step that the kept plan had not; ``placed``: it had others of that reel."""
        if free_to_drop(self.problem, key):
            ends = self.problem.scale.moment(self.problem.jobs[key[0]].lapse or 0)
            return f"it plays only until {day_text(ends.date())} {ends:%H:%M}, and no evening before has room"
        return "it is needed now" if placed else "there is room for it now"

    def kept_out(self, index: int, was: int, still: dict[Key, int], *, sooner: bool) -> str:
        """What keeps a step of that reel from where it was, or one that comes before it.

        ``still``: the starts of what still fits where it was. One that comes sooner was not pushed away.
        """
        own = [one for one in self.kept.steps if one.job == index and one.start <= was]
        for step in sorted(own, key=lambda one: one.start):
            if still.get((step.job, step.kind, step.part)) != step.start:
                why = self._slack(step) or ("" if sooner else self._lined_up_first(step))
                if why:
                    return why
        return self.gave_way(index, sooner=sooner)

    def _lined_up_first(self, step: Step) -> str:
        """That the plan holds a line-up again, of a deck that is lined up, with no room before the step."""
        problem = self.problem
        window = next((w for w in problem.windows if w.start <= step.start < w.end), None)
        if step.kind != "transfer" or window is None:
            return ""
        before = [one for one in self.kept.steps if window.start <= one.start < step.start]
        if any(one.kind == "align" and one.deck == step.deck for one in before):
            return ""
        facts = problem.decks[step.deck]
        stood = facts.stands_on == problem.jobs[step.job].parts[step.part].setup
        minutes = facts.touch_up if stood else facts.full
        if window.start + minutes + sum(one.end - one.start for one in before) <= step.start:
            return ""
        return f"the plan holds a line-up of {facts.deck.id} before it"

    def _slack(self, step: Step) -> str:
        """That only the slack at an evening's end keeps the step from where it was; empty where more does."""
        was, end = step.start, step.end
        by_itself = any(first <= was and end <= last for first, last in self.problem.comfort.bench)
        if not by_itself or any(one.start <= was and end <= one.end for one in self.problem.windows):
            return ""
        return "the evening's end stays free; it fits there, tight"

    def gave_way(self, index: int, *, sooner: bool) -> str:
        """The reason for a step that has no room where it was; one that comes sooner was not pushed away."""
        if not sooner:
            return "it no longer fits there"
        song = self.sooner.get(index)
        return f"so that {song} is ready sooner" if song else "there is room for it sooner"

    def of(self, index: int, was: int, new: int | None) -> str:
        """The reason that holds for a step of that reel, which could have stayed where it was."""
        if new is None or new > was:
            return "to make room for others"
        if index in self.sooner:
            return f"so that {self.sooner[index]} is ready sooner"
        same = any(w.start <= new and was <= w.end for w in self.problem.windows)
        return "there is room for it sooner" if same else "to make room for others"


def _ready(song: SongFacts, ends: dict[int, int]) -> int | None:
    if song.hopeless or any(job not in ends for job in song.jobs):
        return None
    return max((ends[job] for job in song.jobs), default=None)
