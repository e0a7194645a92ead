"""A stronger bound for long plans: which evenings can hold which transfers, by column generation.

The plan is relaxed to: every evening follows a pattern (set-ups behind line-ups, transfers that fit, see
``patterns``), in fractions; a reel is ready no sooner than it is transferred, and no more is ready than the
desk work of all evenings so far allows; a song no sooner than each of its reels; trays limit what is played.
Every plan is a solution of this, so its least cost is a bound. Columns are generated as by P. C. Gilmore and
R. E. Gomory, Operations Research 9 (1961) 849-859; the bound of each round is L. S. Lasdon's (Optimization
Theory for Large Systems, 1970): the master's dual value plus, for every evening, what its best pattern would
still save. It holds in every round, so that one may stop at any time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from core.planning.bounds import never_ready
from core.planning.draft import Draft
from core.planning.least import earliest_steps
from core.planning.patterns import Kind, Wanted, best_pattern, kind_of
from core.planning.problem import Job, Problem

ROWS = 2400  # reels times stretches of evenings in the master, at most
SMOOTH = 0.6  # how much prices stay near those that gave the best bound


@dataclass(frozen=True, slots=True)
class Stretch:
    """Evenings in a row that the master treats as one: first start, last end, and how many of each kind."""

    windows: tuple[int, ...]
    start: int
    end: int
    kinds: tuple[tuple[Kind, int], ...]


@dataclass(slots=True)
class Master:
    """The linear programme, its rows by name, and the columns so far."""

    problem: Problem
    stretches: list[Stretch]
    jobs: list[Job]
    items: list[tuple[int, int]]  # job, part
    solver: Any
    rows: dict[tuple[Any, ...], Any] = field(default_factory=dict)
    variables: dict[tuple[Any, ...], Any] = field(default_factory=dict)
    limits: dict[tuple[Any, ...], float] = field(default_factory=dict)
    first: dict[int, int] = field(default_factory=dict)  # job -> first stretch in which it may be played
    seen: set[tuple[int, int, tuple[int, ...]]] = field(default_factory=set)
    constant: float = 0.0

    def row(self, key: tuple[Any, ...], low: float, high: float) -> Any:
        """A new row; the limit that is not infinite is what a dual price is paid for."""
        infinity = self.solver.infinity()
        self.rows[key] = self.solver.Constraint(low, high, str(key))
        self.limits[key] = high if high < infinity else low
        return self.rows[key]


def evening_bound(
    problem: Problem, drafts: list[Draft], stop: Callable[[], bool], *, rows: int = ROWS
) -> Iterator[Fraction]:
    """Better and better proven bounds on the score, round by round; ``drafts`` give the first patterns."""
    master = _master(problem, rows)
    if master is None:
        return
    for draft in drafts:
        _columns_of(master, draft)
    centre: dict[tuple[Any, ...], float] = {}
    fixed = never_ready(problem)
    best = -float("inf")
    while not stop():
        if master.solver.Solve() != master.solver.OPTIMAL:
            return
        value = master.solver.Objective().Value() + master.constant
        now = {key: row.dual_value() for key, row in master.rows.items()}
        added = 0
        if centre:
            mixed = {key: SMOOTH * centre[key] + (1 - SMOOTH) * price for key, price in now.items()}
            bound, added = _price(master, mixed)
            if bound > best:
                best, centre = bound, mixed
        if added == 0:
            bound, added = _price(master, now)
            if bound > best:
                best, centre = bound, now
        margin = 1e-6 * (1 + abs(best))
        yield (fixed + max(Fraction(0), Fraction(best - margin))) / 6000
        if added == 0 or best >= value - 1e-5 * (1 + abs(value)):
            return


def _stretches(problem: Problem, count: int) -> list[Stretch]:
    windows = problem.windows
    count = max(1, min(count, len(windows)))
    out = []
    for place in range(count):
        own = windows[place * len(windows) // count : (place + 1) * len(windows) // count]
        kinds: dict[Kind, int] = {}
        for window in own:
            kind = kind_of(problem, window)
            kinds[kind] = kinds.get(kind, 0) + 1
        indices = tuple(window.index for window in own)
        out.append(Stretch(indices, own[0].start, own[-1].end, tuple(kinds.items())))
    return out


def _earliest_transfer(problem: Problem, job: Job) -> int:
    """Minutes before which the reel cannot be played, with the first load in which it can be warmed."""
    plain = earliest_steps(job)["transfer"]
    if job.warmth != "must":
        return plain
    ready = max(job.ready, job.identify)
    for home in problem.homes:
        start = max(home.first, ready)
        if start <= home.last and start + job.heat <= home.end:
            return max(plain, start + job.heat + job.cool + job.repair + job.audition)
    return problem.end + 1


def _master(problem: Problem, rows: int) -> Master | None:
    from ortools.linear_solver import pywraplp  # type: ignore[import-untyped]

    jobs = [job for job in problem.work]
    if not jobs or not problem.windows:
        return None
    solver = pywraplp.Solver.CreateSolver("GLOP")
    stretches = _stretches(problem, max(8, rows // max(1, len(jobs))))
    items = [(job.index, part) for job in jobs for part in range(len(job.parts))]
    master = Master(problem, stretches, jobs, items, solver)
    solver.Objective().SetMinimization()
    _reels(master)
    _songs(master)
    _desk(master)
    _trays(master)
    for b, stretch in enumerate(stretches):
        for k, (_, count) in enumerate(stretch.kinds):
            master.row(("evenings", b, k), -solver.infinity(), count)
    return master


def _reels(master: Master) -> None:
    """Transferred and ready, by stretch: ready no sooner than transferred, each reel once."""
    solver, problem = master.solver, master.problem
    count = len(master.stretches)
    infinity = solver.infinity()
    lead, penalty = float(problem.scale.lead), float(problem.penalty)
    for job in master.jobs:
        soonest = _earliest_transfer(problem, job) if job.parts else earliest_steps(job)["verify"]
        shortest = sum(min(m for m in part.minutes if m is not None) for part in job.parts)
        first = next((b for b, s in enumerate(master.stretches) if s.end >= soonest + shortest), count)
        master.first[job.index] = first
        once = master.row(("once", job.index), -infinity, 1.0)
        for b in range(first, count):
            ready = solver.NumVar(0, infinity, f"x{job.index},{b}")
            late = max(master.stretches[b].start, soonest) + job.verify
            solver.Objective().SetCoefficient(ready, late + lead - penalty)
            once.SetCoefficient(ready, 1)
            master.variables["x", job.index, b] = ready
        for part in range(len(job.parts)):
            for b in range(first, count):
                link = master.row(("link", job.index, part, b), -infinity, 0.0)
                moved = solver.NumVar(0, infinity, f"t{job.index},{part},{b}")
                link.SetCoefficient(moved, 1)
                master.variables["t", job.index, part, b] = moved
            for b in range(first, count):
                after = master.row(("after", job.index, part, b), -infinity, 0.0)
                for earlier in range(first, b + 1):
                    after.SetCoefficient(master.variables["x", job.index, earlier], 1)
                    after.SetCoefficient(master.variables["t", job.index, part, earlier], -1)
        master.constant += penalty


def _songs(master: Master) -> None:
    solver, problem = master.solver, master.problem
    infinity, count = solver.infinity(), len(master.stretches)
    lead, penalty = float(problem.scale.lead), float(problem.penalty)
    for song in problem.songs:
        if song.hopeless:
            continue
        weight = 100 * song.priority
        master.constant += weight * penalty
        first = max(master.first[job] for job in song.jobs)
        soonest = max(_soonest_end(problem, problem.jobs[job]) for job in song.jobs)
        shortest = min(problem.jobs[job].verify for job in song.jobs)
        once = master.row(("song", song.key), -infinity, 1.0)
        ready = {}
        for b in range(first, count):
            ready[b] = solver.NumVar(0, infinity, f"s{song.key},{b}")
            late = max(master.stretches[b].start + shortest, soonest)
            solver.Objective().SetCoefficient(ready[b], weight * (late + lead - penalty))
            once.SetCoefficient(ready[b], 1)
        for job in song.jobs:
            for b in range(first, count):
                row = master.row(("needs", song.key, job, b), -infinity, 0.0)
                for earlier in range(first, b + 1):
                    row.SetCoefficient(ready[earlier], 1)
                for earlier in range(master.first[job], b + 1):
                    row.SetCoefficient(master.variables["x", job, earlier], -1)


def _soonest_end(problem: Problem, job: Job) -> int:
    runs = sum(min(m for m in part.minutes if m is not None) for part in job.parts)
    start = _earliest_transfer(problem, job) if job.parts else earliest_steps(job)["verify"]
    return start + runs + job.verify


def _desk(master: Master) -> None:
    """By each stretch's end: desk work of what is ready and the patterns' minutes fit into the evenings."""
    problem, total = master.problem, 0.0
    for b, stretch in enumerate(master.stretches):
        total += sum(problem.windows[w].minutes for w in stretch.windows)
        row = master.row(("desk", b), -master.solver.infinity(), total)
        for job in master.jobs:
            minutes = job.identify + job.repair + job.audition + job.verify
            for earlier in range(master.first[job.index], b + 1):
                row.SetCoefficient(master.variables["x", job.index, earlier], minutes)


def _trays(master: Master) -> None:
    """By each stretch's end: trays of reels that must be warmed fit into loads that can have cooled."""
    problem = master.problem
    warm = [job for job in master.jobs if job.warmth == "must"]
    if not warm:
        return
    heat, cool = min(job.heat for job in warm), min(job.cool for job in warm)
    for b, stretch in enumerate(master.stretches):
        room = 0
        for facts in problem.chambers:
            for home in problem.homes:
                last = min(home.last, home.end - heat - facts.touch, stretch.end - heat - cool)
                if last >= home.first:
                    room += facts.trays * (1 + (last - home.first) // max(1, heat + facts.touch))
        row = master.row(("trays", b), -master.solver.infinity(), float(room))
        for job in warm:
            taken = min((n for n in job.trays if n), default=1)
            for part in range(min(1, len(job.parts))):
                for earlier in range(master.first[job.index], b + 1):
                    row.SetCoefficient(master.variables["t", job.index, part, earlier], taken)


def _add(master: Master, b: int, k: int, items: tuple[tuple[int, int], ...], minutes: int) -> bool:
    key = (b, k, tuple(sorted(master.items.index(item) for item in items)))
    if key in master.seen or not items:
        return False
    master.seen.add(key)
    column = master.solver.NumVar(0, master.solver.infinity(), "")
    master.rows["evenings", b, k].SetCoefficient(column, 1)
    for job, part in items:
        master.rows["link", job, part, b].SetCoefficient(column, -1)
    for later in range(b, len(master.stretches)):
        master.rows["desk", later].SetCoefficient(column, minutes)
    return True


def _columns_of(master: Master, draft: Draft) -> None:
    """The evenings of a plan as first columns."""
    problem = master.problem
    for b, stretch in enumerate(master.stretches):
        kinds = [kind for kind, _ in stretch.kinds]
        for w in stretch.windows:
            window = problem.windows[w]
            here = [s for s in draft.steps if window.start <= s.start and s.end <= window.end]
            played = [s for s in here if s.kind == "transfer" and b >= master.first[s.job]]
            minutes = sum(s.end - s.start for s in here if s.kind in ("transfer", "align"))
            _add(
                master,
                b,
                kinds.index(kind_of(problem, window)),
                tuple((s.job, s.part) for s in played),
                minutes,
            )


def _price(master: Master, duals: dict[tuple[Any, ...], float]) -> tuple[float, int]:
    """The bound at these prices, and how many patterns were added that would lower the master's cost."""
    problem, grid = master.problem, master.problem.scale.grid
    bound = master.constant + sum(duals[key] * limit for key, limit in master.limits.items())
    added = 0
    for b, stretch in enumerate(master.stretches):
        cost = -sum(duals["desk", later] for later in range(b, len(master.stretches))) * grid
        wanted = []
        for place, (index, part) in enumerate(master.items):
            job = problem.jobs[index]
            value = -duals.get(("link", index, part, b), 0.0)
            if value > 1e-9 and b >= master.first[index]:
                what = job.parts[part]
                for deck, minutes in enumerate(what.minutes):
                    if minutes is not None:
                        wanted.append(Wanted(place, deck, what.setup, minutes // grid, value))
        for k, (kind, count) in enumerate(stretch.kinds):
            pattern = best_pattern(problem, kind, wanted, max(0.0, cost))
            saves = pattern.value + duals["evenings", b, k]
            if saves > 1e-7:
                bound -= count * saves
                items = tuple(dict.fromkeys(master.items[place] for place in pattern.items))
                added += _add(master, b, k, items, pattern.slots * grid)
    return bound, added
