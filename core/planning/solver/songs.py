"""Songs by themselves: their part of the score alone, and what is proven of it as rows of the whole."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor, isfinite

from core.planning.facts.problem import Problem
from core.planning.solver.comfort import UNITS
from core.planning.solver.model_parts import Expr
from core.planning.solver.variables import Model


def only_songs(model: Model) -> None:
    """Minimises the songs' part alone: it has few values, and is proven far sooner than with comfort."""
    model.cp.clear_objective()  # type: ignore[no-untyped-call]
    model.cp.minimize(model.songs_cost)
    model.partial = True


def songs_at_least(model: Model, score: Fraction) -> None:
    """Adds what is known of the songs' part of the score, less what whole units leave out of it."""
    if not isinstance(model.songs_cost, int):
        units = ceil(_units(score, model.songs_constant)) - left_out_of_songs(model.problem)
        model.cp.add(model.songs_cost >= units)


def left_out_of_songs(problem: Problem) -> int:
    """Units by which the songs' objective may be below their score: a penalty is rounded down in it."""
    return 0 if penalty_is_whole(problem) else sum(100 * song.priority for song in problem.songs)


def penalty_is_whole(problem: Problem) -> bool:
    """Whether what a reel costs that is never verified is so many units."""
    return ((problem.penalty - problem.scale.lead) * UNITS).denominator == 1


def songs_between(model: Model, least: float, score: Fraction, reels: Fraction) -> None:
    """Adds what is proven of the songs' part, a whole number, and what a better plan leaves for it.

    ``score``: of the best plan; ``reels``: what reels and line-ups cost at least. By their weight songs can
    then be ready on few evenings only.
    """
    if not isfinite(least) or isinstance(model.songs_cost, int):
        return
    model.cp.add(model.songs_cost >= ceil(least - 1e-6))
    model.cp.add(model.songs_cost <= floor(_units(score - reels, model.songs_constant)))
    slots = sum(len(row) for row in model.slots.values())  # each line-up is rounded down by less than one
    model.cp.add(
        model.reels_cost + model.comfort_cost
        >= floor(_units(reels, model.constant - model.songs_constant)) - slots
    )


def _units(part: Fraction, constant: Expr) -> Fraction:
    """A part of the score in the solver's units, less what of it is constant."""
    return Fraction(part * 6000 - constant) * UNITS
