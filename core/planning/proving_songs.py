"""What songs alone cost at least in whole evenings, where they are many: asked of a solver that learns.

The rows are those of ``songs_loads``, of the first evenings alone: what is not ready in them waits until
the next evening. Every factor in them is a fraction of small numbers, so that the solver counts in whole
numbers and no tolerance has to be taken off. It learns from what it finds not to be, clauses beside the
linear programme (P. J. Stuckey, Lazy clause generation, CPAIOR 2010), and works from the bound upwards.
"""

from __future__ import annotations

import time
from collections import defaultdict
from dataclasses import field, replace
from fractions import Fraction
from math import ceil, floor, isfinite, lcm
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from core.planning.bench.draft import Draft, ends_of
from core.planning.bounds.evening_rows import Programme
from core.planning.bounds.one_evening import Orders
from core.planning.bounds.songs_bound import songs_loads
from core.planning.bounds.whole_bound import Least, evenings_of, unit_of
from core.planning.facts.problem import Problem
from core.planning.solver.solver import SEED, Budget, Watcher
from core.values import dataclass

if TYPE_CHECKING:
    from ortools.sat.python.cp_model_helper import SatParameters

MORE = 3  # evenings behind the last one on which a song is ready in the best plan: later ones tell no more
MOST = 1_000_000  # a row that asks for a greater common multiple is left out, and one whose factors are odd
EXACT = Fraction(1, 10**12)  # so near to a fraction of small numbers a factor is that fraction
LINEAR = 2  # what the solver makes a linear programme of: all


@dataclass(frozen=True, slots=True)
class Proof:
    """A proven bound on the songs' part of the score, and whether the rows were solved to their end."""

    least: Least
    solved: bool


def first_evenings(problem: Problem, draft: Draft) -> int:
    """How many evenings songs may be looked for in: those in which the draft needs them, and a few more."""
    ends = ends_of(draft)
    asked = problem.for_songs & ends.keys()
    if problem.for_songs - asked or not asked:
        return len(problem.windows)
    last = max(ends[job] for job in asked)
    return min(len(problem.windows), MORE + sum(window.start < last for window in problem.windows))


def proven_songs(problem: Problem, evenings: int, budget: Budget, below: Fraction) -> Proof:
    """What songs alone cost at least, of those plans alone whose songs are cheaper than ``below``.

    Evenings of a solution whose steps have no order are barred, and it is asked again. ``Least.work`` is the
    solver's deterministic time.
    """
    loads, lost = songs_loads(problem, evenings)
    programme, orders = loads.desk.programme, Orders(loads)
    fixed = lost + Fraction(programme.constant)
    if not programme.cost:
        return Proof(Least(fixed / 6000, {}, 0.0), True)
    clock, proof = _Left(budget), Proof(Least(None, {}, 0.0), False)
    while True:
        proof, known = _asked(programme, fixed, clock.budget(), below), proof.least.bound
        clock.spend(proof.least.work)
        if not proof.solved and known is not None and (proof.least.bound or 0) < known:
            return Proof(replace(proof.least, bound=known, work=clock.spent), False)
        if not proof.solved or clock.over() or not orders.bar(proof.least.there):
            return Proof(replace(proof.least, work=clock.spent), proof.solved)


@dataclass(slots=True)
class _Left:
    """What is left of a budget, in its own currency."""

    whole: Budget
    spent: float = 0.0
    began: float = field(default_factory=time.monotonic)

    def spend(self, work: float) -> None:
        """Counts the solver's deterministic time."""
        self.spent += work

    def budget(self) -> Budget:
        """What may still be used."""
        effort = None if self.whole.effort is None else self.whole.effort - self.spent
        return Budget(self.whole.seconds - (time.monotonic() - self.began), effort, self.whole.stop)

    def over(self) -> bool:
        """True when nothing is left, or someone said stop."""
        left = self.budget()
        done = left.seconds <= 0 if left.effort is None else left.effort <= 0
        return done or (left.stop is not None and left.stop())


def _asked(programme: Programme, fixed: Fraction, budget: Budget, below: Fraction) -> Proof:
    rows = Rows(programme)
    solver = cp_model.CpSolver()
    _set(solver.parameters, budget)
    rows.cheaper(6000 * below - fixed)
    with Watcher(solver, budget.stop):
        status = solver.solve(rows.cp)
    work = solver.response_proto.deterministic_time
    if status == cp_model.INFEASIBLE:
        return Proof(Least(below, {}, work), True)
    units = solver.best_objective_bound
    bound = (rows.costs(ceil(units - 1e-6)) + fixed) / 6000 if isfinite(units) else None
    if status == cp_model.UNKNOWN:
        return Proof(Least(bound, {}, work), False)
    there = frozenset(place for place, column in enumerate(rows.columns) if solver.value(column))
    costs = (rows.costs(round(solver.objective_value)) + fixed) / 6000
    least = Least(bound, evenings_of(programme, there), work, costs, there)
    return Proof(least, status == cp_model.OPTIMAL)


def _set(parameters: SatParameters, budget: Budget) -> None:
    """One worker, so that the same work finds the same."""
    parameters.num_workers, parameters.random_seed = 1, SEED
    parameters.catch_sigint_signal = False  # an interrupt belongs to whoever asked for the plan
    parameters.linearization_level = LINEAR
    parameters.use_objective_lb_search = True
    if budget.effort is not None:
        parameters.max_deterministic_time = max(0.01, budget.effort)
    else:
        parameters.max_time_in_seconds = max(0.05, budget.seconds)


@dataclass(slots=True)
class Rows:
    """The rows of a programme in whole numbers; what is minimised are so many ``unit`` of its cost.

    A column that need not be whole is taken as whole too: rows ask a whole number of it at least.
    """

    programme: Programme
    cp: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    columns: list[cp_model.IntVar] = field(default_factory=list)
    unit: Fraction = Fraction(1)

    def __post_init__(self) -> None:
        programme = self.programme
        self.columns = [self.cp.new_int_var(0, floor(high), "") for high in programme.highs]
        self.unit = unit_of([factor for _, factor in programme.cost]) or Fraction(1)
        terms: dict[int, dict[int, Fraction]] = defaultdict(lambda: defaultdict(lambda: Fraction(0)))
        for row, column, factor in programme.entries:
            terms[row][column] += _small(factor)
        for row, own in terms.items():
            self._row(own, programme.limits[row])
        self.cp.minimize(sum(times * self.columns[column] for column, times in self._cost()))

    def _row(self, terms: dict[int, Fraction], limit: float) -> None:
        """One row times what makes all its factors whole; none where that is much: that bars less."""
        times = lcm(*(factor.denominator for factor in terms.values()))
        if times <= MOST:
            whole = [(int(factor * times), self.columns[column]) for column, factor in terms.items()]
            most = floor(Fraction(limit) * times + Fraction(1, 10**6))
            self.cp.add(sum(factor * column for factor, column in whole if factor) <= most)

    def _cost(self) -> list[tuple[int, int]]:
        """By column so many units, never more than it costs."""
        costs: dict[int, Fraction] = defaultdict(lambda: Fraction(0))
        for column, factor in self.programme.cost:
            costs[column] += Fraction(factor) / self.unit
        whole = ((column, floor(cost + EXACT * (1 + abs(cost)))) for column, cost in costs.items())
        return [(column, times) for column, times in whole if times]

    def cheaper(self, costs: Fraction) -> None:
        """Only what costs less than that."""
        most = ceil(costs / self.unit) - 1
        self.cp.add(sum(times * self.columns[column] for column, times in self._cost()) <= most)

    def costs(self, units: int) -> Fraction:
        """What so many units are."""
        return units * self.unit


def _small(factor: float) -> Fraction:
    """The fraction of small numbers that a factor is; itself where it is none."""
    exact = Fraction(factor)
    small = exact.limit_denominator(10_000)
    return small if abs(small - exact) <= EXACT * (1 + abs(exact)) else exact
