"""Calibration reels in a solver model of a whole plan: looked at, warmed when needed, fit for a line-up."""

from __future__ import annotations

from core.planning.calibration import always_there
from core.planning.problem import Job
from core.planning.variables import Expr, LoadVar, Model, Slot, StepVar, add_step, desk_cells


def add_calibrations(model: Model) -> None:
    """Every line-up has a calibration reel that is fit for its whole length.

    Only where the whole plan is free: else what the draft does with calibration reels stays, and line-ups
    keep to the stretches in which one is fit.
    """
    if not model.region.whole:
        return
    decks = [d for d in range(len(model.problem.decks)) if not always_there(model.problem, d)]
    wanted = sorted({c for d in decks for c in model.problem.decks[d].calibrations})
    known = {c: _identified(model, model.problem.jobs[c]) for c in wanted}
    heats = {c: _heats(model, model.problem.jobs[c], known[c]) for c in wanted}
    for (deck, _), slots in sorted(model.slots.items()):
        if deck in decks:
            for slot in slots:
                _fit(model, slot, known, heats)


def _identified(model: Model, job: Job) -> StepVar | None:
    if not job.identify:
        return None
    runs = tuple(((w.start, w.end),) for w in model.problem.windows)
    there = model.flag(f"{job.key} identified")
    step = add_step(model, f"{job.key} identify", desk_cells(model, runs, job.identify, 0), there)
    if step is not None:
        model.looked_at[job.index] = step
    return step


def _heats(model: Model, job: Job, known: StepVar | None) -> list[tuple[Expr, LoadVar]]:
    """The loads in which the reel may be, in order of time, with its literal in each."""
    if job.warmth == "no" or (job.identify and known is None):
        return []
    out = []
    for place, load in enumerate(model.loads):
        if job.index in load.members:
            out.append((load.members[job.index], load))
            if known is not None:
                model.cp.add(load.start >= known.end).only_enforce_if(load.members[job.index])
            ready = -(-job.ready // model.grid)
            if ready > 0:
                model.cp.add(load.start >= ready).only_enforce_if(load.members[job.index])
            for other in model.loads[:place]:
                if job.index in other.members:
                    _apart(model, job, other, load)
    return out


def _apart(model: Model, job: Job, a: LoadVar, b: LoadVar) -> None:
    """The same reel in two loads: the second waits until it has cooled from the first."""
    both = (a.members[job.index], b.members[job.index])
    cooled = (job.heat + job.cool) // model.grid
    if a.home < b.home:
        model.cp.add(b.start >= a.start + cooled).only_enforce_if(*both)
    elif a.home > b.home:
        model.cp.add(a.start >= b.start + cooled).only_enforce_if(*both)
    else:
        first = model.flag("")
        model.cp.add(b.start >= a.start + cooled).only_enforce_if(*both, first)
        model.cp.add(a.start >= b.start + cooled).only_enforce_if(*both, ~first)


def _fit(
    model: Model,
    slot: Slot,
    known: dict[int, StepVar | None],
    heats: dict[int, list[tuple[Expr, LoadVar]]],
) -> None:
    """One of the ways in which one of the deck's calibration reels is fit for this line-up."""
    ways: list[Expr] = []
    for index in model.problem.decks[slot.deck].calibrations:
        job = model.problem.jobs[index]
        if job.identify and known[index] is None:
            continue
        uses: list[Expr] = []
        if job.warmth != "must":
            uses.append(_as_it_is(model, slot, job, known[index]))
        for literal, load in heats[index]:
            use = model.flag("")
            model.cp.add_implication(use, literal)
            model.cp.add(slot.start >= load.start + (job.heat + job.cool) // model.grid).only_enforce_if(use)
            model.cp.add(slot.end <= load.start + (job.heat + job.playable) // model.grid).only_enforce_if(
                use
            )
            uses.append(use)
        for use in uses:
            _keep_out(model, slot, job, use, heats[index])
        ways += uses
    model.cp.add(sum(ways) >= slot.full + slot.touch_up)


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


def _keep_out(model: Model, slot: Slot, job: Job, use: Expr, heats: list[tuple[Expr, LoadVar]]) -> None:
    """A reel that is used is in no load and not cooling from one."""
    cooled = (job.heat + job.cool) // model.grid
    for literal, load in heats:
        before = model.flag("")
        model.cp.add(slot.end <= load.start).only_enforce_if(use, literal, before)
        model.cp.add(slot.start >= load.start + cooled).only_enforce_if(use, literal, ~before)
