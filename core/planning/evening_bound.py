"""A stronger bound: what evenings can hold, as a linear programme.

Every plan keeps the rows of ``evening_rows``, so the least cost is a bound on the score. Songs that are ready
in part make it weak; where the whole plan fits into the solver, that proves more.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import isfinite
from threading import Event, Thread
from typing import Any

from core.planning.bounds import never_ready
from core.planning.evening_rows import Programme, Stretch, fill
from core.planning.problem import Problem
from core.planning.soonest import soonest

MARGIN = Fraction(1, 100_000)  # what the solvers' arithmetic may be off, as a share of the bound


def evening_bound(problem: Problem, stop: Callable[[], bool], *, cells: int) -> Fraction | None:
    """A proven bound on the score, None if it was stopped; ``cells``: reels times stretches of evenings."""
    from ortools.linear_solver import pywraplp  # type: ignore[import-untyped]

    found = soonest(problem)
    fixed = never_ready(problem, found)
    if not found.ends:
        return fixed / 6000
    solver = pywraplp.Solver.CreateSolver("GLOP")
    programme = Programme(problem, found, stretches(problem, cells), solver)
    fill(programme)
    objective = solver.Objective()
    for variable, factor in programme.cost:
        objective.SetCoefficient(variable, objective.GetCoefficient(variable) + factor)
    objective.SetMinimization()
    with _Watch(solver, stop):
        status = solver.Solve()
    if status != solver.OPTIMAL or not isfinite(objective.Value()):
        return None
    total = Fraction(programme.constant + objective.Value())
    return (fixed + max(Fraction(0), total - MARGIN * abs(total))) / 6000


def stretches(problem: Problem, cells: int) -> list[Stretch]:
    """Evenings one by one at first, then more and more together, so that times reels there are so many."""
    windows = problem.windows
    count = cells // len(problem.work)
    for step in range(len(windows), 0, -1):
        starts, place = [], 0
        while place < len(windows):
            starts.append(place)
            place += 1 + place // step
        if len(starts) <= count:
            break
    ends = [*starts[1:], len(windows)]
    return [
        Stretch(tuple(range(a, b)), windows[a].start, windows[b - 1].end)
        for a, b in zip(starts, ends, strict=True)
    ]


class _Watch:
    """Asks ``stop`` every few hundredths of a second while the solver runs, and stops it."""

    def __init__(self, solver: Any, stop: Callable[[], bool]) -> None:
        self._solver = solver
        self._stop = stop
        self._over = Event()
        self._thread = Thread(target=self._watch, daemon=True)

    def __enter__(self) -> None:
        self._thread.start()

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._thread.join()

    def _watch(self) -> None:
        while not self._over.wait(0.05):
            if self._stop():
                self._solver.InterruptSolve()
