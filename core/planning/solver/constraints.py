"""The rules as rows of a solver model, one function a rule of the trade."""

from __future__ import annotations

from itertools import pairwise

from ortools.sat.python import cp_model

from core.plan import Kind
from core.planning.bench.draft import Step
from core.planning.facts.at_hand import overlaid
from core.planning.facts.least import earliest_steps
from core.planning.facts.problem import Job
from core.planning.solver.model_parts import Expr, JobVar, StepVar
from core.planning.solver.variables import (
    Model,
    add_step,
    after_look,
    desk_cells,
    night,
    transfer_cells,
    verify_cells,
)

ORDER = ("identify", "repair", "audition", "transfer", "verify")


def add_jobs(model: Model) -> None:
    """Every reel with something free: its steps, all of them or none."""
    for job in model.problem.jobs:
        if job.calibration:
            continue
        if job.ends and _any_free(model, job):
            model.jobs[job.index] = _job(model, job)


def step_kinds(job: Job) -> list[tuple[Kind, int]]:
    """The steps that are left of a reel, in order."""
    if job.calibration:
        return [("identify", 0)] if job.look else []
    out: list[tuple[Kind, int]] = [("identify", 0)] if job.look else []
    desk: tuple[tuple[Kind, int], ...] = (("repair", job.repair), ("audition", job.audition))
    for kind, minutes in desk:
        if minutes:
            out.append((kind, 0))
    out += [("transfer", part) for part in range(len(job.parts))]
    return [*out, ("verify", 0)]


def _any_free(model: Model, job: Job) -> bool:
    ground, newcomers = model.ground, model.region.newcomers
    placed = (job.index, "verify", 0) in ground.steps
    if not placed and newcomers is not None and job.index not in newcomers:
        return False
    load = ground.load_of.get(job.index)
    if load is not None and not ground.load_stays(load):
        return True
    return any(ground.frozen(job, kind, part) is None for kind, part in step_kinds(job))


def _job(model: Model, job: Job) -> JobVar:
    ground = model.ground
    frozen = [ground.frozen(job, kind, part) for kind, part in step_kinds(job)]
    there = (job.index, "verify", 0) in ground.steps
    sure = any(frozen) or ground.frozen_load(job) is not None
    done: Expr = 1 if sure else model.flag(f"{job.key} done")
    model.hint(done, int(there))
    var = JobVar(job, done)
    for kind, part in step_kinds(job):
        stays = ground.frozen(job, kind, part)
        step = _fixed(model, stays) if stays is not None else _free(model, job, kind, part, done)
        if step is not None:
            var.steps[kind, part] = step
    return var


def _fixed(model: Model, step: Step) -> StepVar:
    start, end = step.start // model.grid, step.end // model.grid
    return StepVar(start, end - start, end, {}, model.ground.window_of[step])


def _free(model: Model, job: Job, kind: Kind, part: int, done: Expr) -> StepVar | None:
    first = earliest_steps(job)[kind]
    if kind == "transfer":
        cells = transfer_cells(model, job, job.parts[part], first)
    elif kind == "verify":
        cells = verify_cells(model, job.verify, first)
    else:
        minutes = {"identify": job.identify, "repair": job.repair, "audition": job.audition}
        whole = tuple(((w.start, w.end),) for w in model.problem.windows)
        runs = model.problem.hearing_runs if kind == "audition" else whole
        cells = desk_cells(model, runs, minutes[kind], first)
    step = add_step(model, f"{job.key} {kind} {part}", cells, done)
    was = model.ground.steps.get((job.index, kind, part))
    if step is not None:
        for literal in step.cells.values():
            model.hint(literal, 0)
        if was is not None:
            model.hint(step.start, was.start // model.grid)
            window = model.ground.window_of[was]
            for (deck, there, run), literal in step.cells.items():
                if kind == "verify" and there == window:
                    comfort = model.problem.comfort
                    same = comfort.counted(was.end) == night(model, (deck, there, run))
                    model.hint(literal, int(same or not comfort.marks))
                elif there == window and (deck == was.deck or deck < 0):
                    runs_there = model.problem.decks[deck].runs[window] if deck >= 0 else ((0, 1 << 40),)
                    if deck < 0 or (runs_there[run][0] <= was.start and was.end <= runs_there[run][1]):
                        model.hint(literal, 1)
    return step


def add_order(model: Model) -> None:
    """Identify, repair, first hearing, transfers, verify: each after the one before, by time and window."""
    for var in model.jobs.values():
        kinds = step_kinds(var.job)
        before = [k for k in kinds if k[0] in ("identify", "repair", "audition")]
        chain = list(pairwise(before))
        transfers = [k for k in kinds if k[0] == "transfer"]
        if before and transfers:
            chain += [(before[-1], one) for one in transfers]
        heads = transfers or before[-1:]
        chain += [(one, ("verify", 0)) for one in heads]
        for first, second in chain:
            a, b = var.steps.get(first), var.steps.get(second)
            if a is not None and b is not None:
                look = var.job if first[0] == "identify" and var.job.assumed else None
                _after(model, a, b, var.done, look)


def _after(model: Model, a: StepVar, b: StepVar, done: Expr, look: Job | None = None) -> None:
    """The second behind the first; behind a ``look`` at a reel only assumed, in a later window."""
    row = model.cp.add(b.start >= (a.end if look is None else after_look(model, look, a)))
    if not isinstance(done, int):
        row.only_enforce_if(done)
    if a.fixed_window >= 0 or b.fixed_window >= 0:
        return
    early, late = a.windows(), b.windows()
    for window in sorted(late):
        soon = [late[w] for w in late if w <= window]
        had = [early[w] for w in early if w + (look is not None) <= window]
        if window != max(late) or window < max(early) + (look is not None):
            model.cp.add(sum(soon) <= sum(had))


def add_playable(model: Model) -> None:
    """A reel is at hand when it has cooled, and is transferred before its playable time ends."""
    for var in model.jobs.values():
        job = var.job
        first, last = -(-job.ready // model.grid), None if job.lapse is None else job.lapse // model.grid
        for (kind, _), step in var.steps.items():
            if kind not in ("repair", "audition", "transfer"):
                continue
            if isinstance(step.start, int):
                continue
            if first > 0:
                _row(model, step.start >= first, var.done)
            if kind == "transfer" and last is not None:
                if isinstance(var.warmed, int):
                    if not var.warmed:
                        _row(model, step.end <= last, var.done)
                else:
                    _row(model, step.end <= last, var.done, ~var.warmed)


def _row(model: Model, row: Expr, *when: Expr) -> None:
    literals = [one for one in when if not isinstance(one, int)]
    if any(isinstance(one, int) and not one for one in when):
        return
    added = model.cp.add(row)
    if literals:
        added.only_enforce_if(*literals)


def add_operator(model: Model) -> None:
    """One person: nothing overlaps, what stays included; and no window holds more than its minutes."""
    cp, grid = model.cp, model.grid
    for start, end in _standing(model):
        model.operator.append(
            cp.new_fixed_size_interval_var(start // grid, -(-end // grid) - start // grid, "")
        )
    cp.add_no_overlap(model.operator)
    use: dict[int, list[Expr]] = {}
    for var in model.jobs.values():
        for step in var.steps.values():
            for (deck, window, run), literal in step.cells.items():
                size = step.size if isinstance(step.size, int) else _size(model, var, deck, window, run)
                use.setdefault(window, []).append(size * literal)
    for (_, window), slots in model.slots.items():
        for slot in slots:
            use.setdefault(window, []).append(slot.minutes[0] * slot.full + slot.minutes[1] * slot.touch_up)
    for window in sorted(use):
        edges = model.problem.windows[window]
        cp.add(sum(use[window]) <= edges.minutes // grid)


def _size(model: Model, var: JobVar, deck: int, window: int, run: int) -> int:
    sizes = [part.minutes[deck] for part in var.job.parts]
    return min(size for size in sizes if size is not None) // model.grid


def _standing(model: Model) -> list[tuple[int, int]]:
    """Stretches in which the operator is taken by what stays, where something free could meet it."""
    problem, region, ground = model.problem, model.region, model.ground
    out = []
    near = [problem.homes[h] for h in region.homes]
    zones = [(problem.windows[w].start, problem.windows[w].end) for w in region.windows]
    zones += [(home.first, min(home.end, home.last + 2880)) for home in near]
    zones = overlaid(zones)

    def meets(start: int, end: int) -> bool:
        return end > start and any(a < end and start < b for a, b in zones)

    for step in ground.draft.steps:
        if step.start >= problem.now and stays(model, step) and meets(step.start, step.end):
            out.append((step.start, step.end))
    out += [(0, problem.now)] if meets(0, problem.now) else []  # what was made by then
    return out + [span for span in standing_touches(model) if meets(*span)]


def stays(model: Model, step: Step) -> bool:
    """True for a step of the draft that the model leaves where it is."""
    ground = model.ground
    window = ground.window_of[step]
    if step.kind == "align":
        return window not in model.region.windows or (step.deck, window) not in model.slots
    if step.job < 0:
        return True
    job = model.problem.jobs[step.job]
    if job.calibration:
        return job.index not in model.looked_at
    return not job.ends or ground.frozen(job, step.kind, step.part) is not None


def standing_touches(model: Model) -> list[tuple[int, int]]:
    """Touches of loads that stay, and of those that are running; joined, since running ones may meet."""
    from core.planning.bench.enter_loads import offsets

    problem = model.problem
    out = []
    for load in model.ground.draft.loads:
        if model.ground.load_stays(load):
            facts = problem.chambers[load.chamber]
            heats = [problem.jobs[index].heat for index in load.members]
            out += [(load.start + o, load.start + o + facts.touch) for o in offsets(heats, facts.turn_every)]
    for running in problem.running:
        touch = problem.chambers[running.chamber].touch
        out += [(at, at + touch) for _, at in running.touches]
    grid = model.grid
    return overlaid([(a // grid * grid, -(-b // grid) * grid) for a, b in out if b > a])


def domain_of(pairs: list[tuple[int, int]]) -> cp_model.Domain:
    """The moments in any of these closed stretches."""
    return cp_model.Domain.from_intervals([[a, b] for a, b in pairs if a <= b])
