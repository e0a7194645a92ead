"""Playing a plan against evenings that go differently.

Steps run over, the helper stays away, a reel needs a longer treatment. Every evening that goes wrong is
followed by the plan as far as it still holds.

How often things go wrong is an assumption, common practice at best; the owner may set every figure.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from math import ceil
from random import Random

from core.clock import evening_of
from core.plan import Plan
from core.planning.bench.draft import Draft, ends_of
from core.planning.bench.follow import draft_of_plan, follow
from core.planning.facts.problem import DeckFacts, Job, Part, Problem
from core.planning.facts.reading import read_problem
from core.shelf import Shelf
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Odds:
    """How often things go wrong, and how much of its minutes a step then runs over at most; all shares."""

    runs_over: float = 0.2
    over_by: float = 0.5
    helper_away: float = 0.1
    longer_treatment: float = 0.1


@dataclass(frozen=True, slots=True)
class Promise:
    """A song in the simulated evenings: how often it is ready on its planned evening, and the promised time.

    A few minutes later on the same evening is on time; then the planned time is promised.
    """

    song: str
    planned: datetime | None
    on_time: float
    promised: datetime | None


def runs_for(shelf: Shelf, plan: Plan) -> int:
    """How many evenings to play a plan of this size against: so many as take a second or two; 0 for none."""
    days = (plan.until.date() - plan.start.date()).days
    problem = read_problem(shelf, plan.start, days)
    cells = len(problem.jobs) * len(problem.windows)
    return next((runs for most, runs in RUNS if cells <= most), 0)


NO_SLACK = Fraction(0)  # what goes wrong may take the part of an evening that is kept free for it

#: Reels times evenings up to which a plan is played so often. Measured: docs/benchmarks-reasons.md.
RUNS = ((500, 100), (3000, 60), (20_000, 40))


def simulate(
    shelf: Shelf,
    plan: Plan,
    *,
    runs: int = 60,
    seed: int = 1,
    share: float = 0.8,
    odds: Odds | None = None,
    stop: Callable[[], bool] | None = None,
) -> tuple[Promise, ...]:
    """Plays the plan ``runs`` times; ``promised`` is the earliest time that holds in at least that ``share``.

    None where the song is not ready in so many of them. The same seed gives the same answer. Where no song
    has a date and a reel to wait for, nothing is played.
    """
    if not any(song.ready is not None and _left(shelf, song.song) for song in plan.songs):
        runs = 0
    days = (plan.until.date() - plan.start.date()).days
    problem = read_problem(shelf, plan.start, days, NO_SLACK)
    draft = draft_of_plan(problem, plan)
    random = Random(seed)
    ends: list[dict[int, int]] = []
    known: dict[_Drawn, Job] = {}
    for _ in range(runs):
        if stop is not None and stop():
            break
        ends.append(ends_of(_played(problem, draft, random, odds or Odds(), known)))
    return tuple(_promise(problem, shelf, plan, ends, song.song, share) for song in plan.songs)


def _promise(
    problem: Problem, shelf: Shelf, plan: Plan, ends: list[dict[int, int]], key: str, share: float
) -> Promise:
    planned = next(one.ready for one in plan.songs if one.song == key)
    place = {job.key: job.index for job in problem.work}
    left = _left(shelf, key)
    if not left or planned is None:
        return Promise(key, planned, 1.0 if planned is not None else 0.0, planned)
    ready = []
    for run in ends:
        done = [run.get(place.get(one, -1)) for one in left]
        known = [end for end in done if end is not None]
        if len(known) == len(left):
            ready.append(max(known))
    count = max(1, len(ends))
    moments = [problem.scale.moment(end) for end in sorted(ready)]
    on_time = sum(1 for end in moments if evening_of(end) <= evening_of(planned)) / count
    needed = ceil(share * count - 1e-9)
    holds = moments[needed - 1] if len(moments) >= needed else None
    promised = planned if holds is not None and evening_of(holds) <= evening_of(planned) else holds
    return Promise(key, planned, on_time, promised)


def _left(shelf: Shelf, song: str) -> list[str]:
    """The reels that the song still waits for."""
    reels = dict.fromkeys(need.reel for need in shelf.songs[song].needs)
    return [one for one in reels if one in shelf.reels and not shelf.reels[one].past("verified")]


#: A job, what its tape and its treatment are stretched by, and the minutes of its steps, as they went.
_Drawn = tuple[int, float, bool, int, int, int]


def _played(problem: Problem, draft: Draft, random: Random, odds: Odds, known: dict[_Drawn, Job]) -> Draft:
    """One run: the same plan on evenings that went differently."""
    return follow(_gone_wrong(problem, random, odds, known), draft, exact=False)


def _gone_wrong(problem: Problem, random: Random, odds: Odds, known: dict[_Drawn, Job]) -> Problem:
    away = {w.index for w in problem.windows if random.random() < odds.helper_away}
    return replace(
        problem,
        jobs=tuple(_job(problem, job, random, odds, known) for job in problem.jobs),
        decks=tuple(_without_helper(facts, away) for facts in problem.decks),
    )


def _without_helper(facts: DeckFacts, away: set[int]) -> DeckFacts:
    if not facts.deck.setup_needs_helper:
        return facts
    return replace(facts, full_runs=tuple(() if w in away else run for w, run in enumerate(facts.full_runs)))


def _job(problem: Problem, job: Job, random: Random, odds: Odds, known: dict[_Drawn, Job]) -> Job:
    """The reel as its evenings went; what went the same in another run is not made twice."""

    def took(minutes: int) -> int:
        over = random.random() < odds.runs_over
        share = random.random() * odds.over_by
        return problem.scale.up(minutes + int(minutes * share)) if over and minutes else minutes

    stretch = took(100) / 100
    longer = random.random() < odds.longer_treatment
    went = (job.index, stretch, longer, took(job.identify), took(job.repair), took(job.verify))
    if went not in known:
        known[went] = _as_it_went(problem, job, went)
    return known[went]


def _as_it_went(problem: Problem, job: Job, went: _Drawn) -> Job:
    _, stretch, longer, identify, repair, verify = went
    parts = tuple(
        Part(
            p.setup,
            tuple(None if m is None else problem.scale.up(int(m * stretch)) for m in p.minutes),
            p.name,
        )
        for p in job.parts
    )
    heat = problem.scale.up(job.heat * 5 // 4) if longer else job.heat
    return replace(job, identify=identify, repair=repair, verify=verify, parts=parts, heat=heat)
