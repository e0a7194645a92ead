"""A plan for which it is known in which evening each reel is verified; all else is free."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil

from core.planning.solver.comfort import UNITS
from core.planning.solver.songs import left_out_of_songs, penalty_is_whole
from core.planning.solver.variables import Model


def verified_on(model: Model, evenings: Mapping[int, int]) -> None:
    """Each reel is verified in its evening, those without one are left over."""
    for index, var in model.jobs.items():
        step = var.steps.get(("verify", 0))
        if step is None or step.fixed_window >= 0:
            continue
        evening = evenings.get(index)
        for (_, window, _), literal in step.cells.items():
            if window != evening:
                model.cp.add(literal == 0)
        if evening is not None:
            model.cp.add(var.done == 1)


def costs_at_least(model: Model, score: Fraction) -> None:
    """Adds what is proven of the whole score, less what the solver's whole units leave out of it."""
    comfort = model.problem.comfort
    ties = [comfort.tied * UNITS, *(edge for run in comfort.bench for edge in run)]
    whole = model.songs_cost + model.comfort_cost + model.reels_cost
    if not isinstance(whole, int) and all(one.denominator == 1 for one in ties):
        model.cp.add(whole >= ceil(UNITS * (score * 6000 - model.constant)) - _left_out(model))


def _left_out(model: Model) -> int:
    """Units by which the objective may be below the score: line-ups and penalties are rounded down in it."""
    problem = model.problem
    line_ups = sum(len(row) for row in model.slots.values())
    reels = 0 if penalty_is_whole(problem) else len(problem.work)
    return line_ups + left_out_of_songs(problem) + reels
