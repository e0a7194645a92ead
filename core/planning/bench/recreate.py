"""Ruin and recreate: some reels are taken out of a plan and entered anew one by one; the rest stays.

G. Schrimpf, J. Schneider, H. Stamm-Wilbrandt, G. Dueck, Journal of Computational Physics 159 (2000) 139-171.
A round costs about a millisecond for every twenty reels, so that hundreds fit into the time of one solve.
"""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field, replace
from fractions import Fraction
from random import Random

from core.planning.bench.calibration import fits, tidy
from core.planning.bench.diary import Diary, Fit
from core.planning.bench.draft import Draft, ends_of
from core.planning.bench.fill import diary_of
from core.planning.bench.lists import Order, enter_jobs, prelude
from core.planning.bench.orders import FAR, NEAR, smith
from core.planning.facts.problem import Problem

FEW = 8  # reels, up to which the same round comes up again and again, and is kept
MOST = 12  # reels taken out in one round, at most
ABSENT = 6  # reels without a place that are tried besides
HOT, WARM, CALM = 0.2, 0.01, 0.001  # share of the price by which a worse plan may be gone on from
NEXT = 12  # windows ahead in which a reel is tried at others' cost
KINDS = ("song", "evenings", "alike", "some", "load")


def without(problem: Problem, draft: Draft, out: AbstractSet[int]) -> Draft:
    """The draft without those reels, and without line-ups and warmings that served them alone."""
    steps = tuple(step for step in draft.steps if step.job not in out)
    loads = (
        replace(load, members=tuple(job for job in load.members if job not in out)) for load in draft.loads
    )
    return tidy(problem, Draft(steps, tuple(load for load in loads if load.members)))


def entered(problem: Problem, draft: Draft) -> Diary:
    """A diary in which the draft stands, with calibration reels fit as it makes them."""
    diary = diary_of(problem, draft)
    for job in problem.jobs:
        if job.calibration:
            diary.fits[job.index] = [Fit(first, last) for first, last in fits(problem, draft, job)]
    prelude(diary)
    return diary


def recreated(problem: Problem, draft: Draft, out: AbstractSet[int], order: Order) -> Draft:
    """The draft with those reels taken out, and the order's reels entered where each ends soonest."""
    return _entered_into(problem, without(problem, draft, out), order)


def _entered_into(problem: Problem, stays: Draft, order: Order) -> Draft:
    diary = entered(problem, stays)
    enter_jobs(diary, order)
    return diary.draft()


def entered_behind(problem: Problem, draft: Draft) -> Draft:
    """The draft, and behind it all that have no place in it."""
    placed = ends_of(draft)
    missing = [job for job in smith(problem, share=True) if job not in placed]
    return recreated(problem, draft, set(), Order(tuple(missing)))


@dataclass(slots=True)
class Ruin:
    """Draws which reels to take out, and in which order to enter them again."""

    problem: Problem
    random: Random
    ends: dict[int, int] = field(default_factory=dict)  # when each was to end in the plan that is kept
    leave: frozenset[int] = frozenset()  # have no place and get none
    rank: dict[int, int] = field(init=False)  # by Smith's ratio
    songs_of: dict[int, list[int]] = field(init=False)

    def __post_init__(self) -> None:
        self.rank = {job: place for place, job in enumerate(smith(self.problem, share=False))}
        self.songs_of = {}
        for place, song in enumerate(self.problem.songs):
            for job in song.jobs:
                self.songs_of.setdefault(job, []).append(place)

    def draw(self, draft: Draft) -> tuple[set[int], Order]:
        """Reels to take out, and the order in which they and some that have no place are tried."""
        random, ends = self.random, ends_of(draft)
        placed = sorted(ends, key=lambda job: (ends[job], job))
        work = (job.index for job in self.problem.work)
        absent = [job for job in work if job not in ends and job not in self.leave]
        hurt = absent + [job for job in placed if self.ends and ends[job] > self.ends.get(job, -1)]
        aversion = random.choice((NEAR, NEAR, FAR))
        sooner = self._sooner(hurt, placed)
        if sooner is not None:
            out = {*self._in_a_window(draft, sooner, ends), *([sooner] if sooner in ends else [])}
            order = self._ordered(sorted(out - {sooner}), ends)
            order.insert(0 if random.random() < 0.7 else random.randint(0, len(order)), sooner)
            return out, Order(tuple(order), aversion)
        out = self._out(draft, placed) if placed else set()
        some = random.sample(absent, min(len(absent), random.randint(0, ABSENT)))
        return out, Order(tuple(self._ordered(sorted(out) + sorted(some), ends)), aversion)

    def _sooner(self, hurt: list[int], placed: list[int]) -> int | None:
        """A reel that is to end sooner at another's cost: one that is hurt, or any; often none."""
        drawn = self.random.random()
        if hurt and drawn < (0.5 if self.ends else 0.2):
            return self.random.choice(hurt)
        return self.random.choice(placed) if placed and drawn > 0.7 else None

    def _in_a_window(self, draft: Draft, job: int, ends: dict[int, int]) -> set[int]:
        """The reels with work in one of the windows in which that reel could be played before it is now."""
        facts, windows = self.problem.jobs[job], self.problem.windows
        first = facts.ready + (facts.heat + facts.cool if facts.warmth == "must" else 0)
        last = min(ends.get(job, 1 << 40), facts.lapse or (1 << 40))
        could = [w for w in windows if w.end > first and w.start < last] or list(windows)
        window = self.random.choice(could[:NEXT])
        found = {s.job for s in draft.steps if s.job >= 0 and window.start <= s.start < window.end}
        found &= self.rank.keys()  # calibration reels, and those that are only looked at or heard, stay
        return found if len(found) <= MOST else set(self.random.sample(sorted(found), MOST))

    def _out(self, draft: Draft, placed: list[int]) -> set[int]:
        random, kind = self.random, self.random.choice(KINDS)
        most = random.randint(2, MOST)
        if kind == "song" and self.problem.songs:
            seed = random.choice(placed)
            together = [j for s in self.songs_of.get(seed, ()) for j in self.problem.songs[s].jobs]
            chosen = [*together, *self._near(placed, seed, most)]
        elif kind == "alike":
            chosen = self._alike(placed, random.choice(placed))
        elif kind == "load" and draft.loads:
            chosen = list(random.choice(draft.loads).members)
        elif kind == "some":
            chosen = random.sample(placed, min(len(placed), most // 2 + 1))
        else:
            chosen = self._near(placed, random.choice(placed), most)
        here = set(placed)
        return {job for job in chosen[:most] if job in here}

    def _near(self, placed: list[int], seed: int, count: int) -> list[int]:
        place = placed.index(seed)
        first = max(0, place - self.random.randint(0, count))
        return placed[first : first + count]

    def _alike(self, placed: list[int], seed: int) -> list[int]:
        jobs = self.problem.jobs
        setups = {part.setup for part in jobs[seed].parts}
        alike = [j for j in placed if any(part.setup in setups for part in jobs[j].parts)]
        place = alike.index(seed) if seed in alike else 0
        return alike[max(0, place - 3) :]

    def _ordered(self, jobs: list[int], ends: dict[int, int]) -> list[int]:
        kind = self.random.random()
        if kind < 0.4:
            noise = {job: self.rank[job] + self.random.gauss(0, 3) for job in jobs}
            return sorted(jobs, key=lambda job: noise[job])
        if kind < 0.6:
            return sorted(jobs, key=lambda job: (ends.get(job, 1 << 40), job))
        self.random.shuffle(jobs)
        return jobs


def _tried(
    problem: Problem, stays: Draft, order: Order, price: Callable[[Draft], Fraction]
) -> tuple[Draft, Fraction]:
    draft = _entered_into(problem, stays, order)
    return draft, price(draft)


def improve_rounds(
    problem: Problem,
    best: Draft,
    price: Callable[[Draft], Fraction],
    random: Random,
    left: Callable[[], float],
    ends: dict[int, int] | None = None,
    leave: frozenset[int] = frozenset(),
    heat: float = WARM,
) -> Draft:
    """The best draft of many rounds; a worse one is gone on from now and then, less and less often.

    ``price`` is what drafts are compared by; ``left`` is asked before each round for the share of time that
    is left, 1 to 0, and 0 ends it. ``ends``: when each reel was to end in the plan that is kept;
    ``leave``: reels without a place that get none; ``heat``: the share by which one may be worse
    at first and still be gone on from.
    """
    ruin = Ruin(problem, random, ends or {}, leave)
    known: dict[tuple[Draft, Order], tuple[Draft, Fraction]] = {}
    now, best_price = best, price(best)
    now_price = best_price
    while (share := left()) > 0:
        out, order = ruin.draw(now)
        if not order.jobs:
            continue
        stays = without(problem, now, out)
        tried, got = known.get((stays, order)) or _tried(problem, stays, order, price)
        if len(problem.work) <= FEW:
            known[stays, order] = tried, got
        warmth = float(best_price) * heat * share**2
        if got <= now_price + Fraction(warmth * random.random()):
            now, now_price = tried, got
        if got < best_price:
            best, best_price = tried, got
    return best
