"""The one door to the solver: a region of a plan in, a better draft and a proven bound out."""

from __future__ import annotations

import time
from collections.abc import Callable
from fractions import Fraction
from math import isfinite
from threading import Event, Thread
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from core.planning.bench.calibration import tidy, with_calibrations
from core.planning.bench.draft import Draft, Load, Step, make_draft
from core.planning.bench.moves import Told
from core.planning.facts.problem import Problem
from core.planning.solver.constraints import add_jobs, add_operator, add_order, add_playable, stays
from core.planning.solver.fits import add_calibrations
from core.planning.solver.line_ups import add_line_ups
from core.planning.solver.model_parts import Expr
from core.planning.solver.objective import add_moves, add_objective, score_from
from core.planning.solver.region import Ground, Region
from core.planning.solver.variables import Model
from core.planning.solver.warmth import add_loads
from core.values import dataclass

if TYPE_CHECKING:
    from ortools.sat.python.cp_model_helper import SatParameters

WORKERS = 2
SEED = 1
#: What lifts the bound of a whole plan best, one for each worker.
LIFTING = ("objective_lb_search", "reduced_costs")
PAUSE = 0.3  # seconds between two bounds that are handed on


@dataclass(frozen=True, slots=True)
class Budget:
    """How long a solve may take: wall seconds, or deterministic time (repeatable); and when to stop."""

    seconds: float
    effort: float | None = None
    stop: Callable[[], bool] | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """What a solve found: a draft (None if none), a bound if it holds for the whole score, the work."""

    draft: Draft | None
    bound: Fraction | None
    solved: bool
    effort: float
    units: float = 0.0  # the bound on what was minimised, in the solver's units


def build(
    problem: Problem,
    draft: Draft,
    region: Region,
    *,
    exact: bool = False,
    kept: tuple[Told, Fraction] | None = None,
) -> Model:
    """The model of a region: every rule, what stays as it is outside.

    ``kept``: starts of a plan that is under way, and the price of moving one of its items.
    """
    model = Model(problem, region, Ground(problem, region, draft), exact)
    add_jobs(model)
    add_order(model)
    add_loads(model)
    add_playable(model)
    add_line_ups(model)
    add_calibrations(model)
    add_operator(model)
    if kept is not None:
        add_moves(model, *kept)
    add_objective(model)
    for variable, value in model.hints.values():
        model.cp.add_hint(variable, value)
    return model


def solve(
    model: Model,
    budget: Budget,
    *,
    found: Callable[[Draft], object] | None = None,
    proven: Callable[[float], None] | None = None,
    lifting: bool = False,
) -> Answer:
    """Solves the model within the budget; ``found`` hears of better drafts, ``proven`` of better bounds.

    Bounds are in the solver's units and handed on only where they hold for every plan. ``lifting`` works from
    the bound upwards, which finds few drafts but soon proves much.
    """
    solver = cp_model.CpSolver()
    _set(solver.parameters, budget, lifting=lifting, light=lifting or not model.region.whole)
    holds = model.region.whole and model.complete
    if holds and proven is not None:
        solver.best_bound_callback = _Proven(proven)
    watcher = Watcher(solver, budget.stop)
    callback = _Found(model, found) if found is not None else None
    with watcher:
        status = solver.solve(model.cp, callback)
    good = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    bound = None
    if holds and not model.partial and status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.UNKNOWN):
        known = solver.best_objective_bound
        bound = score_from(model, known) if isfinite(known) else None
    draft = draft_from(model, solver.value) if good else None
    return Answer(
        draft,
        bound,
        status == cp_model.OPTIMAL,
        solver.response_proto.deterministic_time,
        solver.best_objective_bound,
    )


def _set(parameters: SatParameters, budget: Budget, *, lifting: bool, light: bool) -> None:
    """Presolve that is light where a solve is short; by effort one worker, for two would race."""
    parameters.random_seed = SEED
    parameters.catch_sigint_signal = False  # an interrupt belongs to whoever asked for the plan
    if light:
        parameters.max_presolve_iterations = 1
        parameters.cp_model_probing_level = parameters.symmetry_level = 0
    if budget.effort is not None:
        parameters.num_workers = 1
        parameters.use_objective_lb_search = lifting
        parameters.max_deterministic_time = max(0.01, budget.effort)
        return
    parameters.num_workers = WORKERS
    parameters.max_time_in_seconds = max(0.05, budget.seconds)
    if lifting:
        parameters.subsolvers.extend(LIFTING)


def draft_from(model: Model, value: Callable[[Expr], int]) -> Draft:
    """The draft that a solution stands for, with what stayed."""
    problem, grid, ground = model.problem, model.grid, model.ground
    steps: list[Step] = []
    moved = {(job, kind, part) for job, var in model.jobs.items() for kind, part in var.steps}
    for step in ground.draft.steps:
        if (step.job, step.kind, step.part) not in moved and stays(model, step):
            steps.append(step)
    for index, var in model.jobs.items():
        if not value(var.done):
            continue
        for (kind, part), one in var.steps.items():
            start = value(one.start) * grid
            deck = next((c[0] for c, literal in one.cells.items() if value(literal)), -1)
            if one.fixed_window >= 0:
                steps.append(ground.steps[index, kind, part])
                continue
            if kind == "audition":
                deck = problem.jobs[index].audition_decks[0]
            steps.append(Step(kind, start, start + value(one.size) * grid, index, deck, part))
    for slots in model.slots.values():
        for slot in slots:
            for full, to in ((True, slot.full_to), (False, slot.touch_to)):
                for setup, literal in to.items():
                    if value(literal):
                        start = value(slot.start) * grid
                        size = slot.minutes[0 if full else 1] * grid
                        steps.append(Step("align", start, start + size, -1, slot.deck, 0, setup, full))
    steps += _calibrations_looked_at(model, value)
    loads = [load for load in ground.draft.loads if ground.load_stays(load)]
    for load in model.loads:
        members = tuple(sorted(job for job, literal in load.members.items() if value(literal)))
        if members:
            loads.append(Load(load.chamber, value(load.start) * grid, members))
    return tidy(problem, with_calibrations(problem, make_draft(steps, loads)))


def _calibrations_looked_at(model: Model, value: Callable[[Expr], int]) -> list[Step]:
    out = []
    for index, step in model.looked_at.items():
        if any(value(literal) for literal in step.cells.values()):
            start = value(step.start) * model.grid
            out.append(Step("identify", start, start + value(step.size) * model.grid, index))
    return out


class _Found(cp_model.CpSolverSolutionCallback):
    """Hands on every better draft."""

    def __init__(self, model: Model, found: Callable[[Draft], object]) -> None:
        super().__init__()
        self._model = model
        self._found = found

    def on_solution_callback(self) -> None:
        """Called by the solver, on a thread of its own."""
        self._found(draft_from(self._model, self.value))


class _Proven:
    """Hands on better bounds, a few a second: they may come by the hundred."""

    def __init__(self, proven: Callable[[float], None]) -> None:
        self._proven = proven
        self._last = time.monotonic()

    def __call__(self, units: float) -> None:
        """Called by the solver, on a thread of its own."""
        if isfinite(units) and time.monotonic() - self._last >= PAUSE:
            self._last = time.monotonic()
            self._proven(units)


class Watcher:
    """Asks ``stop`` every few hundredths of a second while the solver runs, and stops it."""

    def __init__(self, solver: cp_model.CpSolver, stop: Callable[[], bool] | None) -> None:
        self._solver = solver
        self._stop = stop
        self._over = Event()
        self._thread: Thread | None = None

    def __enter__(self) -> None:
        if self._stop is not None:
            self._thread = Thread(target=self._watch, daemon=True)
            self._thread.start()

    def __exit__(self, *_: object) -> None:
        self._over.set()
        if self._thread is not None:
            self._thread.join()

    def _watch(self) -> None:
        while not self._over.wait(0.05):
            if self._stop is not None and self._stop():
                self._solver.stop_search()
                time.sleep(0.05)
