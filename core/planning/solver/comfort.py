"""Comfort in a solver's objective: hours of lining up, and hours for which a warm chamber ties someone.

One unit is a hundredth of a priority for half a minute, so that one and a half horizons are whole. What an
hour costs is rounded down to whole units a minute, so that a bound stays a bound.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import floor

from core.planning.bench.draft import Draft, Load, Watched, tied_minutes
from core.planning.solver.model_parts import Expr, LoadVar
from core.planning.solver.variables import Model

UNITS = 2


def add_comfort(model: Model) -> Fraction:
    """Adds what free line-ups and loads cost; what the loads cost that run already, in hundredths."""
    comfort = model.problem.comfort
    for slots in model.slots.values():
        for slot in slots:
            full, touch = (floor(comfort.line_up * UNITS * n * model.grid) for n in slot.minutes)
            model.comfort_cost = model.comfort_cost + full * slot.full + touch * slot.touch_up
    minute = floor(comfort.tied * UNITS)
    if not minute:
        return Fraction(0)
    model.comfort_cost = model.comfort_cost + minute * _tied(model)
    return comfort.tied * tied_minutes(model.problem, Draft())


def _tied(model: Model) -> Expr:
    """Minutes for which loads that are free tie someone, at least: those of the chamber that ties longest."""
    apart = all(one.end <= other.first for one, other in pairwise(model.problem.homes))
    watched = Watched(model.problem)
    groups: dict[tuple[int, int], list[Expr]] = {}
    for load in model.loads:
        minutes = _minutes(model, load, watched)
        if minutes is not None:
            groups.setdefault((load.home if apart else 0, load.chamber), []).append(minutes)
    total: Expr = 0
    for home in sorted({home for home, _ in groups}):
        sums = [sum(own) for (where, _), own in groups.items() if where == home]
        if len(sums) == 1:
            total = total + sums[0]
            continue
        longest = model.cp.new_int_var(0, 1 << 24, f"tied {home}")
        for one in sums:
            model.cp.add(longest >= one)
        total = total + longest
    return total


def _minutes(model: Model, load: LoadVar, watched: Watched) -> Expr | None:
    """Minutes outside bench time from its start to its last take-out; None where that is never any."""
    cp, grid = model.cp, model.grid
    first, last = load.first, load.last
    tied: Expr | None = None
    old = _was(model, load)
    for heat, wanted in load.heats.items():
        values = [watched.tying(start * grid, heat * grid) for start in range(first, last + 1)]
        if not any(values):
            continue
        if tied is None:
            tied = cp.new_int_var(0, 1 << 20, f"tied {load.chamber} {load.home}")
        least: Expr = values[0]
        if min(values) < max(values):
            least = cp.new_int_var(min(values), max(values), "")
            cp.add_element(load.start - first, values, least)
            if old is not None:
                model.hint(least, values[old.start // grid - first])
        cp.add(tied >= least).only_enforce_if(wanted)
    if tied is not None and old is None:
        model.hint(tied, 0)
    return tied


def _was(model: Model, load: LoadVar) -> Load | None:
    """The load of the draft that this one is hinted to be."""
    hinted = model.hints.get(load.start.index) if hasattr(load.start, "index") else None
    there = [one for one in model.ground.draft.loads if one.chamber == load.chamber]
    return next((one for one in there if hinted and one.start // model.grid == hinted[1]), None)
