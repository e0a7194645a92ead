"""Calibration reels in a solver model of a whole plan: looked at, warmed when needed, fit for a line-up."""

from __future__ import annotations

from dataclasses import dataclass

from core.planning.bench.calibration import always_there, wanted_calibrations
from core.planning.facts.problem import Job, Problem
from core.planning.solver.model_parts import Expr, Slot, StepVar
from core.planning.solver.variables import Model, add_step, after_look, desk_cells

MOST = 64  # times that a calibration reel is warmed in one plan, at most, as far as a model looks


@dataclass(slots=True)
class Warming:
    """One time that a calibration reel is warmed."""

    there: Expr
    start: Expr


def add_calibrations(model: Model) -> None:
    """Every line-up has a calibration reel that is fit for its whole length.

    Only where the whole plan is free: else what the draft does with calibration reels stays, and line-ups
    keep to the stretches in which one is fit.
    """
    if not model.region.whole:
        return
    wanted = wanted_calibrations(model.problem)
    known = {c: _identified(model, model.problem.jobs[c]) for c in wanted}
    times = {c: _times(model, model.problem.jobs[c], known[c]) for c in wanted}
    for (deck, _), slots in sorted(model.slots.items()):
        for slot in slots:
            for needed, setups in _asking(model.problem, deck, slot).items():
                _fit(model, slot, needed, setups, known, times)


def _asking(problem: Problem, deck: int, slot: Slot) -> dict[tuple[int, ...], list[int]]:
    """The set-ups of a slot for which a calibration reel must be made fit, by the reels that would do."""
    out: dict[tuple[int, ...], list[int]] = {}
    for setup in sorted(slot.full_to.keys() | slot.touch_to.keys()):
        if not always_there(problem, deck, setup):
            out.setdefault(problem.decks[deck].needed(setup), []).append(setup)
    return out


def _identified(model: Model, job: Job) -> StepVar | None:
    if not job.look:
        return None
    runs = tuple(((w.start, w.end),) for w in model.problem.windows)
    there = model.flag(f"{job.key} identified")
    step = add_step(model, f"{job.key} identify", desk_cells(model, runs, job.identify, job.look_from), there)
    if step is not None:
        model.looked_at[job.index] = step
    return step


def _times(model: Model, job: Job, known: StepVar | None) -> list[Warming]:
    """The times at which the reel may be warmed, first to last; each in one of the loads, or in none.

    A time is of no use where the one after it has cooled before the one before it lapses; so two that are of
    use move on by more than playable days less cooling.
    """
    loads = [load for load in model.loads if job.index in load.members]
    if job.warmth == "no" or (job.look and known is None) or not loads:
        return []
    cp, grid = model.cp, model.grid
    end = model.problem.end // grid
    count = min(len(loads), 2 + 2 * (model.problem.end // max(grid, job.playable - job.cool)))
    if count > MOST:
        count, model.complete = MOST, False
    out: list[Warming] = []
    chosen: dict[int, list[Expr]] = {place: [] for place in range(len(loads))}
    for time in range(count):
        there = model.flag(f"{job.key} warmed {time}")
        start = cp.new_int_var(0, end, f"{job.key} warmed {time} at")
        picks = []
        for place, load in enumerate(loads):
            pick = model.flag("")
            picks.append(pick)
            chosen[place].append(pick)
            cp.add(start == load.start).only_enforce_if(pick)
        cp.add(sum(picks) == there)
        ready = -(-job.ready // grid)
        if ready > 0:
            cp.add(start >= ready).only_enforce_if(there)
        if known is not None:
            cp.add(start >= after_look(model, job, known)).only_enforce_if(there)
            cp.add(sum(known.cells.values()) == 1).only_enforce_if(there)
        if out:
            cp.add(there <= out[-1].there)
            cp.add(start >= out[-1].start + (job.heat + job.cool) // grid).only_enforce_if(there)
        out.append(Warming(there, start))
    for place, load in enumerate(loads):
        cp.add(sum(chosen[place]) == load.members[job.index])
    return out


def _fit(
    model: Model,
    slot: Slot,
    needed: tuple[int, ...],
    setups: list[int],
    known: dict[int, StepVar | None],
    times: dict[int, list[Warming]],
) -> None:
    """One of the ways in which a calibration reel that fits is there for a line-up to one of the set-ups."""
    cp, grid = model.cp, model.grid
    ways: list[Expr] = []
    for index in needed:
        job = model.problem.jobs[index]
        if job.look and known[index] is None:
            continue
        warmings = times[index]
        uses: list[tuple[Expr, int]] = []
        if job.warmth != "must":
            uses.append((_as_it_is(model, slot, job, known[index]), 0))
        for place, warming in enumerate(warmings):
            use = model.flag("")
            cp.add_implication(use, warming.there)
            cp.add(slot.start >= warming.start + (job.heat + job.cool) // grid).only_enforce_if(use)
            cp.add(slot.end <= warming.start + (job.heat + job.playable) // grid).only_enforce_if(use)
            uses.append((use, place + 1))
        for use, following in uses:
            if following < len(warmings):
                cp.add(slot.end <= warmings[following].start).only_enforce_if(use, warmings[following].there)
        ways += [use for use, _ in uses]
    cp.add(sum(ways) >= sum(slot.on(setup) for setup in setups))


def _as_it_is(model: Model, slot: Slot, job: Job, known: StepVar | None) -> Expr:
    use = model.flag("")
    ready = -(-job.ready // model.grid)
    if ready > 0:
        model.cp.add(slot.start >= ready).only_enforce_if(use)
    if known is not None:
        model.cp.add(slot.start >= known.end).only_enforce_if(use)
        model.cp.add(sum(known.cells.values()) == 1).only_enforce_if(use)
    if job.lapse is not None:
        model.cp.add(slot.end <= job.lapse // model.grid).only_enforce_if(use)
    return use
