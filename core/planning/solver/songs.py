"""Songs by themselves: their part of the score alone, and what is proven of it as rows of the whole."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor, isfinite

from core.planning.solver.comfort import UNITS
from core.planning.solver.variables import Expr, Model


def only_songs(model: Model) -> None:
    """Minimises the songs' part alone: it has few values, and is proven far sooner than with comfort."""
    model.cp.clear_objective()  # type: ignore[no-untyped-call]
    model.cp.minimize(model.songs_cost)
    model.partial = True


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
