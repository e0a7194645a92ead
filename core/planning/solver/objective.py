"""The score as a solver's objective, in whole numbers: songs by priority, and a hundredth for every reel.

One unit is a hundredth of a priority for half a minute, so that one and a half horizons are whole.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor

from core.planning.bench.moves import Told
from core.planning.facts.problem import SongFacts
from core.planning.solver.comfort import UNITS, add_comfort
from core.planning.solver.model_parts import Expr, JobVar
from core.planning.solver.variables import Model, night


def add_objective(model: Model) -> None:
    """Songs' part, reels' part and comfort, with what stays as a constant."""
    problem = model.problem
    counted = problem.comfort.counted
    ends = {s.job: counted(s.end) for s in model.ground.draft.steps if s.kind == "verify"}
    lead = problem.scale.lead
    comfort = add_comfort(model)
    fixed = problem.never * problem.penalty
    for job in problem.work:
        if job.index in model.jobs:
            fixed += lead
            model.reels_cost = model.reels_cost + _late(model, model.jobs[job.index])
        else:
            fixed += ends[job.index] + lead if job.index in ends else problem.penalty
    songs: Fraction = comfort
    for song in problem.songs:
        free = [job for job in song.jobs if job in model.jobs]
        if song.hopeless:
            songs += 100 * song.priority * problem.penalty
        elif free:
            songs += 100 * song.priority * lead
            model.songs_cost = model.songs_cost + 100 * song.priority * _song(model, song, ends)
        else:
            last = max(ends[job] for job in song.jobs) if all(job in ends for job in song.jobs) else None
            songs += 100 * song.priority * (problem.penalty if last is None else last + lead)
    model.songs_constant = songs
    model.constant = fixed + songs
    model.cp.minimize(model.songs_cost + model.comfort_cost + model.reels_cost + model.moves_cost)


def add_moves(model: Model, told: Told, price: Fraction) -> None:
    """Every free item of the kept plan that is not where it was costs its price."""
    cp, grid = model.cp, model.grid
    for key, start in sorted(told.at.items()):
        index, kind, part = key
        var = model.jobs.get(index)
        if var is None or start % grid:
            continue
        stays = model.flag(f"{var.job.key} {kind} {part} stays")
        if kind == "load":
            members = {p: load.members[index] for p, load in enumerate(model.loads) if index in load.members}
            if not members:
                continue
            cp.add(stays <= sum(members.values()))
            for place, literal in members.items():
                cp.add(model.loads[place].start == start // grid).only_enforce_if(stays, literal)
        else:
            step = var.steps.get((kind, part))
            if step is None or isinstance(step.start, int):
                continue
            if start < told.tonight:
                cp.add(step.start * grid < told.tonight).only_enforce_if(stays)
            else:
                cp.add(step.start == start // grid).only_enforce_if(stays)
            if not isinstance(var.done, int):
                cp.add_implication(stays, var.done)
        cost = round(price * told.weight(key) * 6000 * UNITS)
        model.moves_cost = model.moves_cost + cost * (1 - stays)


def penalty_units(model: Model) -> int:
    """What a reel that is never verified costs, less the lead that is counted apart; rounded down."""
    return floor((model.problem.penalty - model.problem.scale.lead) * UNITS)


def songs_from(model: Model, units: float) -> Fraction:
    """The part of the score that a value of the songs' part alone stands for."""
    return Fraction(Fraction(units) / UNITS + model.songs_constant) / 6000


def score_from(model: Model, units: float) -> Fraction:
    """The score that a value of the objective stands for."""
    total: Fraction = Fraction(units) / UNITS + model.constant
    return total / 6000


def _late(model: Model, var: JobVar) -> Expr:
    """Units until the reel is verified."""
    step = var.steps.get(("verify", 0))
    penalty = penalty_units(model)
    slot = UNITS * model.grid
    if step is None:
        return penalty
    if isinstance(step.end, int):
        return UNITS * model.problem.comfort.counted(step.end * model.grid)
    if model.problem.comfort.marks:
        return UNITS * sum(night(model, c) * one for c, one in step.cells.items()) + penalty * (1 - var.done)
    if isinstance(var.done, int):
        return slot * step.end
    late = model.cp.new_int_var(0, model.problem.end // model.grid, f"{var.job.key} late")
    model.cp.add(late >= step.end).only_enforce_if(var.done)
    by_window = step.windows()
    first = {w: model.problem.windows[w].start // model.grid + step.size for w in by_window}
    model.cp.add(late >= sum(first[w] * by_window[w] for w in sorted(by_window)))
    was = model.ground.steps.get((var.job.index, "verify", 0))
    model.hint(late, was.end // model.grid if was is not None else 0)
    return slot * late + penalty * (1 - var.done)


def _song(model: Model, song: SongFacts, ends: dict[int, int]) -> Expr:
    """Units until the song's last reel is verified."""
    cp, grid, slot = model.cp, model.grid, UNITS * model.grid
    penalty = penalty_units(model)
    vars_ = [model.jobs[job] for job in song.jobs if job in model.jobs]
    stay = [ends.get(job) for job in song.jobs if job not in model.jobs]
    if any(end is None for end in stay) or any(("verify", 0) not in var.steps for var in vars_):
        return penalty
    if model.problem.comfort.marks:
        return _by_night(model, song, vars_, max((end for end in stay if end is not None), default=0))
    least = max((end // grid for end in stay if end is not None), default=0)
    sure = all(isinstance(var.done, int) for var in vars_)
    ready: Expr = 1 if sure else model.flag(f"{song.key} ready")
    late = cp.new_int_var(0, model.problem.end // grid, f"{song.key} late")
    olds = [model.ground.steps.get((var.job.index, "verify", 0)) for var in vars_]
    there = all(old is not None for old in olds)
    model.hint(ready, int(there))
    model.hint(late, max([least, *(old.end // grid for old in olds if old is not None)]) if there else 0)
    for var in vars_:
        end = var.steps["verify", 0].end
        row = cp.add(late >= end)
        if not sure:
            row.only_enforce_if(ready)
            cp.add(ready <= var.done)
    if sure:
        cp.add(late >= least)
    else:
        cp.add(late >= least * ready)
    _by_window(model, song, vars_, ready, late, least)
    return slot * late + (0 if sure else penalty * (1 - ready))


def _by_night(model: Model, song: SongFacts, vars_: list[JobVar], least: int) -> Expr:
    """Units until the night behind the song's last verify; ``least``: of those that stay."""
    cp, counted = model.cp, model.problem.comfort.counted
    steps = [var.steps["verify", 0] for var in vars_]
    least = max([least, *(counted(s.end * model.grid) for s in steps if isinstance(s.end, int))])
    free = [step for step in steps if not isinstance(step.end, int)]
    if not free:
        return UNITS * least
    sure = all(isinstance(var.done, int) for var in vars_)
    by: list[dict[int, Expr]] = []
    for step in free:
        cells: dict[int, Expr] = {}
        for cell, literal in step.cells.items():
            mark = max(least, night(model, cell))
            cells[mark] = cells[mark] + literal if mark in cells else literal
        by.append(cells)
    nights = sorted({mark for cells in by for mark in cells})
    if len(free) == 1 and sure:
        return UNITS * sum(mark * literal for mark, literal in by[0].items())
    ready: Expr = 1 if sure else model.flag(f"{song.key} ready")
    at = {mark: model.flag(f"{song.key} ready by {mark}") for mark in nights}
    cp.add(sum(at.values()) == ready)
    for cells in by:
        for mark in nights:
            had = [literal for other, literal in cells.items() if other <= mark]
            cp.add(sum(at[m] for m in nights if m <= mark) <= sum(had))
    olds = [model.ground.steps.get((var.job.index, "verify", 0)) for var in vars_]
    there = all(old is not None for old in olds)
    last = max([least, *(counted(old.end) for old in olds if old is not None)])
    model.hint(ready, int(there))
    for mark, literal in at.items():
        model.hint(literal, int(there and mark == last))
    cost = UNITS * sum(mark * literal for mark, literal in at.items())
    return cost if sure else cost + penalty_units(model) * (1 - ready)


def _by_window(
    model: Model, song: SongFacts, vars_: list[JobVar], ready: Expr, late: Expr, least: int
) -> None:
    """In which window the song is ready: not before all of its reels; helps the bound."""
    cp, problem, grid = model.cp, model.problem, model.grid
    verifies = [var.steps["verify", 0] for var in vars_]
    if any(step.fixed_window >= 0 for step in verifies) or len(model.region.windows) < 2:
        return
    windows = sorted({w for step in verifies for w in step.windows()})
    at = {w: model.flag(f"{song.key} ready in {w}") for w in windows}
    cp.add(sum(at.values()) == ready)
    size = min(step.size for step in verifies)
    first = {w: max(least, problem.windows[w].start // grid + size) for w in windows}
    cp.add(late >= sum(first[w] * at[w] for w in windows))
    for step in verifies:
        in_window = step.windows()
        for w in windows:
            done = [in_window[v] for v in in_window if v <= w]
            cp.add(sum(at[v] for v in windows if v <= w) <= sum(done))
    ends = [model.ground.steps.get((var.job.index, "verify", 0)) for var in vars_]
    known = [model.ground.window_of[end] for end in ends if end is not None]
    last = max(known) if len(known) == len(vars_) else -1
    for w, literal in at.items():
        model.hint(literal, int(w == last))
