"""The variables of a solver model: steps by window, line-ups by deck and window, loads by chamber and home.

Times are in grid slots from zero. ``Expr`` is a literal, a variable, a sum of them or a whole number.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from core.planning.facts.problem import DeckFacts, Job, Part, Problem, Stretch
from core.planning.solver.model_parts import Expr, JobVar, LoadVar, Slot, StepVar
from core.planning.solver.region import Ground, Region


@dataclass(slots=True)
class Model:
    """A solver model of one region of a plan, growing rule by rule."""

    problem: Problem
    region: Region
    ground: Ground
    exact: bool
    cp: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    jobs: dict[int, JobVar] = field(default_factory=dict)
    slots: dict[tuple[int, int], list[Slot]] = field(default_factory=dict)
    behind: dict[tuple[int, int, int, int, int], Expr] = field(default_factory=dict)
    loads: list[LoadVar] = field(default_factory=list)
    looked_at: dict[int, StepVar] = field(default_factory=dict)  # calibration reels
    operator: list[Expr] = field(default_factory=list)
    complete: bool = True  # False where a cap on line-ups or loads may cut off a best plan
    partial: bool = False  # True where only a part of the score is minimised
    songs_cost: Expr = 0
    comfort_cost: Expr = 0
    reels_cost: Expr = 0
    moves_cost: Expr = 0
    constant: Expr = 0
    songs_constant: Expr = 0
    hints: dict[int, tuple[cp_model.IntVar, int]] = field(default_factory=dict)

    @property
    def grid(self) -> int:
        """Minutes in a slot."""
        return self.problem.scale.grid

    def flag(self, name: str) -> cp_model.IntVar:
        """A new literal."""
        return self.cp.new_bool_var(name)

    def hint(self, variable: object, value: int) -> None:
        """Where the solver should look first; a constant takes none."""
        if isinstance(variable, cp_model.IntVar):
            self.hints[variable.index] = (variable, value)

    def slotted(self, runs: tuple[Stretch, ...]) -> list[Stretch]:
        """Runs in slots."""
        return [(a // self.grid, b // self.grid) for a, b in runs]


def add_step(
    model: Model,
    name: str,
    cells: list[tuple[int, int, int, int, int, int]],
    done: Expr,
) -> StepVar | None:
    """A step that lies in one cell if the reel is done: cells are (deck, window, run, first, last, size)."""
    cp = model.cp
    usable = [cell for cell in cells if cell[3] + cell[5] <= cell[4]]
    if not usable:
        cp.add(done == 0)
        return None
    domain = cp_model.Domain.from_intervals([[a, b - size] for _, _, _, a, b, size in usable])
    start = cp.new_int_var_from_domain(domain, f"{name} start")
    sizes = sorted({cell[5] for cell in usable})
    literals = {cell[:3]: model.flag(f"{name} in {cell[:3]}") for cell in usable}
    cp.add(sum(literals.values()) == done)
    size: Expr = sizes[0]
    if len(sizes) > 1:
        size = cp.new_int_var_from_domain(cp_model.Domain.from_values(sizes), f"{name} size")
        for cell in usable:
            cp.add(size == cell[5]).only_enforce_if(literals[cell[:3]])
    last = max(cell[4] for cell in usable)
    cp.add(start >= sum(cell[3] * literals[cell[:3]] for cell in usable))
    inside = sum(cell[4] * literals[cell[:3]] for cell in usable)
    cp.add(start + size <= inside + (0 if _sure(done) else (last + max(sizes)) * (1 - done)))
    end: Expr = start + size
    if len(sizes) > 1:
        end = cp.new_int_var(0, last, f"{name} end")
        cp.add(end == start + size)
        model.operator.append(cp.new_optional_interval_var(start, size, end, done, name))
    else:
        model.operator.append(cp.new_optional_fixed_size_interval_var(start, size, done, name))
    return StepVar(start, size, end, literals)


def verify_cells(model: Model, minutes: int, first: int) -> list[tuple[int, int, int, int, int, int]]:
    """Where a verify may lie: bench windows, cut where the night ends up to which it counts."""
    out = []
    size = minutes // model.grid
    for window in sorted(model.region.windows):
        edges = model.problem.windows[window]
        begin = max(edges.start, first)
        for run, end in enumerate(nights_in(model, window)):
            out.append((-1, window, run, -(-begin // model.grid), end // model.grid, size))
            begin = max(begin, end - minutes + model.grid)
    return out


def nights_in(model: Model, window: int) -> list[int]:
    """The last minutes of a window's parts, each of which counts up to a night of its own."""
    edges = model.problem.windows[window]
    marks = [m for m in model.problem.comfort.marks if edges.start < m < edges.end]
    return [*marks, edges.end]


def night(model: Model, cell: tuple[int, int, int]) -> int:
    """The minute up to which a verify in that cell counts."""
    return model.problem.comfort.counted(nights_in(model, cell[1])[cell[2]])


def after_look(model: Model, job: Job, look: StepVar) -> Expr:
    """From which slot the step behind a look may start: where it is assumed, once its evening is over."""
    if not job.assumed:
        return look.end
    windows = model.problem.windows
    over = {w: -(-windows[w].over // model.grid) for w in look.windows()}
    return sum(over[w] * literal for w, literal in look.windows().items())


def _sure(done: Expr) -> bool:
    return isinstance(done, int) and done == 1


def transfer_cells(
    model: Model, job: Job, part: Part, first: int
) -> list[tuple[int, int, int, int, int, int]]:
    """Where a transfer may lie: every run of every deck that takes it."""
    out = []
    for deck, minutes in enumerate(part.minutes):
        if minutes is None:
            continue
        facts: DeckFacts = model.problem.decks[deck]
        for window in sorted(model.region.windows):
            if job.windows is not None and window not in job.windows:
                continue
            least = min(facts.full, facts.touch_up) // model.grid
            for run, (a, b) in enumerate(model.slotted(facts.runs[window])):
                edges = model.problem.windows[window]
                begin = max(a, first // model.grid, edges.start // model.grid + least)
                out.append((deck, window, run, begin, b, minutes // model.grid))
    return out


def desk_cells(
    model: Model, runs: tuple[tuple[Stretch, ...], ...], minutes: int, first: int
) -> list[tuple[int, int, int, int, int, int]]:
    """Where a step without a line-up may lie."""
    out = []
    for window in sorted(model.region.windows):
        for run, (a, b) in enumerate(model.slotted(runs[window])):
            out.append((-1, window, run, max(a, -(-first // model.grid)), b, minutes // model.grid))
    return out
