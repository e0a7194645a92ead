"""The strongest bound: the least that whole evenings can cost, in whole numbers; and how it comes about.

Every plan is a solution of the rows of ``whole_loads``, so what branch and cut proves of them holds for
every plan (G. L. Nemhauser and L. A. Wolsey, Integer and Combinatorial Optimization, 1988). The solver counts
in floating point to tolerances of a millionth: a margin is taken off, and as all that can occur are multiples
of one unit, what is left is rounded up to the next.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import field, replace
from datetime import timedelta
from fractions import Fraction
from math import ceil, gcd, inf, isfinite, lcm
from threading import Thread
from threading import enumerate as enumerate_threads
from typing import TYPE_CHECKING

from core.planning.bench.draft import Draft, tied_minutes
from core.planning.bounds.bounds import lost_reels, lost_songs
from core.planning.bounds.evening_bound import least_of
from core.planning.bounds.evening_rows import Programme
from core.planning.bounds.one_evening import Orders
from core.planning.bounds.songs_bound import songs_programme
from core.planning.bounds.soonest import soonest
from core.planning.bounds.whole_evenings import whole_loads
from core.planning.facts.problem import Problem
from core.values import dataclass

if TYPE_CHECKING:
    from ortools.math_opt.python.mathopt import LinearTypes, Model, SolveResult

MARGIN = Fraction(
    1, 10_000_000
)  # of the bound, and for each column: what the solver's tolerances may add up to
CLOSE = Fraction(1, 10)  # of the unit: so far below a score cheaper plans are looked for
PAUSE = 0.05  # seconds between two looks whether someone said stop
PIVOTS = 2e-7  # seconds of a quiet machine for one step of the simplex method and one row


@dataclass(frozen=True, slots=True)
class Least:
    """A proven bound on the score, none where nothing is known; the work, in seconds of a quiet machine.

    ``evenings``: by reel when it is verified in a cheapest solution of the rows; empty where none was found.
    """

    bound: Fraction | None
    evenings: dict[int, int]
    work: float
    costs: Fraction | None = None  # what that solution costs
    there: frozenset[int] = frozenset()  # the columns that are one in it, or more


@dataclass(frozen=True, slots=True)
class Allowed:
    """How long it may take: seconds, or nodes of the tree, which repeat; and when to stop.

    ``first``: at the first solution, not only at the cheapest.
    """

    seconds: float | None
    nodes: int | None = None
    stop: Callable[[], bool] | None = None
    first: bool = False


class Nothing:
    """What is told where the rows have no solution that is cheap enough."""


@dataclass(slots=True)
class Evenings:
    """The programme of whole evenings, what is fixed beside it, and evenings that were shown not to be."""

    programme: Programme
    fixed: Fraction
    model: Model | None = None
    orders: Orders | None = None  # where all reels are in it
    worked: float = 1.0  # what counts where nothing is told of the work: as much as the longest time before
    aside: dict[int, int] = field(default_factory=dict)  # rows that bar what nobody knows to be barred

    @classmethod
    def of(cls, problem: Problem, songs: Fraction) -> Evenings:
        """All rows; ``songs``: what all songs cost at least, in score."""
        found = soonest(problem)
        lost = lost_songs(problem, found)
        tied = problem.comfort.tied * tied_minutes(problem, Draft())
        loads = whole_loads(problem, found, max(Fraction(0), 6000 * songs - lost - tied))
        fixed = lost + lost_reels(problem, found) + tied
        return cls(loads.desk.programme, fixed, orders=Orders(loads))

    def last(self, job: int) -> int:
        """The last evening by which a reel can be verified."""
        return max(b for one, b in self.programme.ready if one == job)

    def bar(self, evenings: Iterable[tuple[int, int]]) -> None:
        """Not all of these reels are verified by these evenings."""
        columns = [self.programme.ready[one] for one in evenings]
        self.programme.at_most([(column, 1.0) for column in columns], len(columns) - 1.0)
        self.model = None

    @property
    def questions(self) -> int:
        """How often an evening was put to the test so far."""
        return 0 if self.orders is None else self.orders.questions

    def bar_without_order(self, least: Least) -> bool:
        """Bars evenings of a solution whose steps have no order at its price; whether there are any."""
        if self.orders is None or not self.orders.bar(least.there):
            return False
        self.model = None
        return True

    def set_aside(self, evenings: dict[int, int]) -> None:
        """The same for now, of evenings of which nobody knows: meanwhile no bound follows."""
        self.bar(evenings.items())
        self.aside[len(self.programme.limits) - 1] = len(evenings)

    def all_again(self) -> None:
        """What was set aside counts again."""
        for row, many in self.aside.items():
            self.programme.limits[row] = float(many)
        self.aside.clear()
        self.model = None

    def in_parts(self, seconds: float) -> Fraction | None:
        """What they cost at least with reels and evenings in parts; None if it takes longer."""
        programme = self.programme
        if not programme.jobs or not programme.entries:
            return self.fixed / 6000
        least = least_of(programme, seconds)
        if least is None:
            return None
        return (self.fixed + rounded_up(programme, float(least - Fraction(programme.constant)))) / 6000

    def least(self, allowed: Allowed, below: Fraction | None = None) -> Least:
        """The least that they cost; with ``below``, a score, of those plans alone that are cheaper."""
        if self.model is None and self.programme.jobs:
            self.model = _model(self.programme)
        found = _least(self, allowed, below)
        self.worked = max(self.worked, found.work)
        return replace(found, bound=None) if self.aside else found


def whole_bound(problem: Problem, songs: Fraction, allowed: Allowed) -> Least:
    """The least that the evenings can cost; ``songs``: what all songs cost at least, in score."""
    return Evenings.of(problem, songs).least(allowed)


def songs_bound(problem: Problem, allowed: Allowed, below: Fraction | None = None) -> Least:
    """The least that songs alone can cost; what else is in the score is not in it.

    With ``below``, a score of theirs: of those plans alone whose songs are cheaper.
    """
    return Evenings(*songs_programme(problem)).least(allowed, below)


def _least(evenings: Evenings, allowed: Allowed, below: Fraction | None) -> Least:
    programme, fixed = evenings.programme, evenings.fixed
    if not programme.jobs:
        return Least(fixed / 6000, {}, 0.0)
    constant = fixed + Fraction(programme.constant)
    most = inf if below is None else float(6000 * below - constant - _step(programme) * CLOSE)
    answer = _solved(evenings.model, allowed, most)
    if answer is None:
        return Least(None, {}, 0.0)
    if isinstance(answer, Nothing):
        return Least((fixed + rounded_up(programme, most)) / 6000, {}, evenings.worked)
    units = min(most, answer.termination.objective_bounds.dual_bound)
    pivots = answer.solve_stats.simplex_iterations * len(programme.limits) * PIVOTS
    if not isfinite(units):
        return Least(None, {}, pivots)
    costs = constant + (Fraction(answer.objective_value()) if answer.solutions else 0)
    bound = (fixed + rounded_up(programme, units)) / 6000
    there = _there(answer)
    return Least(bound, evenings_of(programme, there), pivots, costs / 6000, there)


def _step(programme: Programme) -> Fraction:
    """By how much two costs differ at least, where that is known."""
    return unit_of([factor for _, factor in programme.cost]) or Fraction(0)


def rounded_up(programme: Programme, units: float) -> Fraction:
    """What the rows cost at least: the next that can occur, from a little below what the solver says."""
    constant = Fraction(programme.constant)
    total = Fraction(units) + constant
    low = total - MARGIN * (abs(total) + 6000 * len(programme.highs))
    unit = unit_of([*(factor for _, factor in programme.cost)])
    return low if unit is None else constant + ceil((low - constant) / unit) * unit


def unit_of(factors: list[float]) -> Fraction | None:
    """The greatest number of which all factors are whole multiples; None where they have none of use."""
    used = [Fraction(factor) for factor in factors if factor]
    exact = [one.limit_denominator(10_000) for one in used]
    if not exact or any(abs(one - was) * 10**12 > abs(one) for one, was in zip(exact, used, strict=True)):
        return None
    below = lcm(*(one.denominator for one in exact))
    unit = Fraction(gcd(*(int(one * below) for one in exact)), below)
    return unit if unit >= 1 else None


_AT_WORK = "evenings' rows"


def left_behind() -> bool:
    """True while a solver is at work, also one whose answer nobody waits for any more."""
    return any(one.name == _AT_WORK for one in enumerate_threads())


class _Failed(Exception):
    """The solver gave no answer, for a reason of its own."""


def _solved(model: Model | None, allowed: Allowed, most: float) -> SolveResult | Nothing | None:
    """The solver's answer; None where someone said stop before, or it failed.

    It runs on a thread that is left behind where someone says stop: it ends by itself when its time is over.
    """
    out: list[SolveResult | Nothing] = []

    def solve() -> None:
        with suppress(_Failed):  # a bound less, and nothing that anybody at the terminal could mend
            out.append(_solve(model, allowed, most))

    thread = Thread(target=solve, name=_AT_WORK, daemon=True)
    thread.start()
    while thread.is_alive():
        thread.join(PAUSE if allowed.stop is not None else None)
        if allowed.stop is not None and allowed.stop():
            return None
    return out[0] if out else None


def _solve(model: Model, allowed: Allowed, most: float) -> SolveResult | Nothing:
    from ortools.math_opt import result_pb2
    from ortools.math_opt.python import mathopt

    proving = mathopt.Emphasis.OFF if isfinite(most) else None
    parameters = mathopt.SolveParameters(
        time_limit=None if allowed.seconds is None else timedelta(seconds=max(0.1, allowed.seconds)),
        node_limit=allowed.nodes,
        threads=1,
        absolute_gap_tolerance=0.0,
        relative_gap_tolerance=0.0,
        cutoff_limit=most if isfinite(most) else None,
        solution_limit=1 if allowed.first else None,
        cuts=mathopt.Emphasis.OFF,  # here they cost more than they tell
        heuristics=mathopt.Emphasis.LOW if allowed.first else proving,
    )
    try:
        return mathopt.solve(model, mathopt.SolverType.GSCIP, params=parameters)
    except ValueError as told:  # what it says where nothing is below the limit, its own reader does not know
        if str(told) == f"{result_pb2.LIMIT_CUTOFF} is not a valid Limit":
            return Nothing()
        raise _Failed from told
    except Exception as told:  # what it says of itself is of as many kinds as it has versions
        raise _Failed from told


def _model(programme: Programme) -> Model:
    from ortools.math_opt.python import mathopt

    model = mathopt.Model()
    columns = [
        model.add_variable(lb=0.0, ub=float(high), is_integer=place not in programme.parts)
        for place, high in enumerate(programme.highs)
    ]
    rows: dict[int, list[LinearTypes]] = defaultdict(list)
    for row, column, factor in programme.entries:
        rows[row].append(factor * columns[column])
    for row, terms in rows.items():
        model.add_linear_constraint(mathopt.fast_sum(terms) <= float(programme.limits[row]))
    model.minimize(mathopt.fast_sum(factor * columns[column] for column, factor in programme.cost))
    return model


def _there(answer: SolveResult) -> frozenset[int]:
    if not answer.solutions:
        return frozenset()
    return frozenset(variable.id for variable, value in answer.variable_values().items() if value > 0.5)


def evenings_of(programme: Programme, there: frozenset[int]) -> dict[int, int]:
    """By reel the first evening by which it is verified."""
    done: dict[int, int] = {}
    for (job, b), column in programme.ready.items():
        if column in there:
            done[job] = min(b, done.get(job, b))
    return done
