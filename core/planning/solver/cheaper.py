"""Is there a cheaper plan that verifies these reels by these evenings? If not, for which few of them not.

What the solver of plans says of evenings that a looser programme proposes is told back to that programme
(J. N. Hooker and G. Ottosson, Logic-based Benders decomposition, Mathematical Programming 96, 2003). Told of
as few reels as can be, and of the latest evenings for which it still holds, it bars the more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import field
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from core.planning.bench.draft import Draft
from core.planning.facts.problem import Problem
from core.planning.solver.comfort import UNITS
from core.planning.solver.model_parts import Expr
from core.planning.solver.region import Region
from core.planning.solver.solver import SEED, Watcher, build, draft_from
from core.planning.solver.variables import Model
from core.values import dataclass

if TYPE_CHECKING:
    from ortools.sat.python.cp_model_helper import CpSolverStatus, SatParameters

By = tuple[int, int]  # a reel, and the evening by which it is verified
PART = 0.06  # deterministic time of the solver for a question about some of the reels, at most
QUESTIONS = 16  # asked about fewer reels, or later evenings, at most
IN_VAIN = 4  # of them in a row without an answer, at most
FEW = 4  # reels up to which later evenings are asked about


@dataclass(frozen=True, slots=True)
class Verdict:
    """A cheaper plan, or reels and evenings that no cheaper plan keeps all of; neither if not known."""

    draft: Draft | None = None
    barred: tuple[By, ...] = ()


@dataclass(slots=True)
class Cheaper:
    """All plans of a problem that are cheaper than a score; ``work`` is the solver's deterministic time."""

    problem: Problem
    score: Fraction
    seconds: Callable[[], float]  # what is left, at most
    stop: Callable[[], bool] | None
    model: Model
    work: float = 0.0
    literals: dict[By, cp_model.IntVar] = field(default_factory=dict)
    questions: int = 0
    in_vain: int = 0
    better: Draft | None = None  # a cheaper plan that a question about some reels came upon

    @classmethod
    def than(
        cls,
        problem: Problem,
        draft: Draft,
        score: Fraction,
        seconds: Callable[[], float],
        stop: Callable[[], bool] | None = None,
    ) -> Cheaper:
        """``draft`` is a plan to begin from, ``score`` what others must be cheaper than."""
        model = build(problem, draft, Region.all_of(problem), exact=True)
        model.cp.clear_objective()  # type: ignore[no-untyped-call]
        asked = cls(problem, score + 1, seconds, stop, model)
        asked.below(score)
        return asked

    def below(self, score: Fraction) -> None:
        """From now on of plans that are cheaper than this score, no higher than the one before."""
        model, whole = self.model, self._whole()
        if score < self.score and not isinstance(whole, int):
            model.cp.add(whole <= ceil(UNITS * (6000 * score - model.constant)) - 1)
        self.score = min(self.score, score)

    def with_reels_by(
        self, evenings: dict[int, int], last: Callable[[int], int], work: float, *, whole: bool = False
    ) -> Verdict:
        """A cheaper plan with these evenings, or those that bar it.

        ``last``: by reel its last evening; ``work``: deterministic time for all reels together, at most;
        ``whole``: only whether there is a plan, nothing of fewer reels or later evenings.
        """
        asked = sorted(evenings.items())
        self.questions, self.in_vain, self.better = 0, 0, None
        status, draft = self._cheapest(asked, work)
        if status != cp_model.INFEASIBLE or not self.model.complete:
            return Verdict(draft)
        if whole:
            return Verdict(None, tuple(asked))
        barred = self._later(self._fewer(self._barred(asked) or asked), last)
        return Verdict(self.better, barred)

    def _cheapest(self, asked: Sequence[By], work: float) -> tuple[CpSolverStatus, Draft | None]:
        """The cheapest plan with these evenings, which are fixed and not assumed: it is known far sooner."""
        cp, solver = self.model.cp.clone(), cp_model.CpSolver()
        cp.clear_assumptions()
        for job, evening in asked:
            var = self.model.jobs[job]
            cp.add(var.done == 1)
            for (_, window, _), there in var.steps["verify", 0].cells.items():
                if window > evening:
                    cp.add(there == 0)
        cp.minimize(self._whole())
        self._set(solver.parameters, work)
        with Watcher(solver, self.stop):
            status = solver.solve(cp)
        self.work += solver.response_proto.deterministic_time
        found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        return status, draft_from(self.model, solver.value) if found else None

    def _whole(self) -> Expr:
        """What is minimised of the score."""
        return self.model.songs_cost + self.model.comfort_cost + self.model.reels_cost

    def _set(self, parameters: SatParameters, work: float) -> None:
        """One worker, and presolve that is light, since each question is short."""
        parameters.num_workers, parameters.random_seed = 1, SEED
        parameters.catch_sigint_signal = False
        parameters.max_presolve_iterations = 1
        parameters.cp_model_probing_level = parameters.symmetry_level = 0
        parameters.max_deterministic_time = work
        parameters.max_time_in_seconds = max(0.05, self.seconds())

    def _fewer(self, core: list[By]) -> list[By]:
        """As few as can be: each is left out once, the latest first."""
        for one in sorted(core, key=lambda by: -by[1]):
            if one in core and len(core) > 1:
                core = self._barred([other for other in core if other != one]) or core
        return core

    def _later(self, core: list[By], last: Callable[[int], int]) -> tuple[By, ...]:
        """The same reels by evenings as late as can be, by halving."""
        for place, (job, evening) in enumerate(core if len(core) <= FEW else ()):
            low, high = evening, last(job)
            while low < high:
                middle = (low + high + 1) // 2
                if self._barred([*core[:place], (job, middle), *core[place + 1 :]]):
                    low = middle
                else:
                    high = middle - 1
            core = [*core[:place], (job, low), *core[place + 1 :]]
        return tuple(core)

    def _barred(self, asked: list[By]) -> list[By]:
        """Those of them that no cheaper plan keeps; none where that is not known soon."""
        if self.questions >= QUESTIONS or self.in_vain >= IN_VAIN or self.better is not None:
            return []
        if self.seconds() <= 0 or (self.stop is not None and self.stop()):
            return []
        self.questions += 1
        status, self.better, core = self._solved(asked)
        self.in_vain = 0 if status == cp_model.INFEASIBLE else self.in_vain + 1
        return (core or asked) if status == cp_model.INFEASIBLE else []

    def _solved(self, asked: Sequence[By]) -> tuple[CpSolverStatus, Draft | None, list[By]]:
        """Any cheaper plan with these evenings, or which of them there is none with."""
        cp, solver = self.model.cp, cp_model.CpSolver()
        literals = {self._by(one).index: one for one in asked}
        cp.clear_assumptions()
        cp.add_assumptions([self.literals[one] for one in asked])
        self._set(solver.parameters, PART)
        solver.parameters.linearization_level = 0
        with Watcher(solver, self.stop):
            status = solver.solve(cp)
        self.work += solver.response_proto.deterministic_time
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return status, draft_from(self.model, solver.value), []
        core = solver.sufficient_assumptions_for_infeasibility() if status == cp_model.INFEASIBLE else []
        return status, None, [literals[index] for index in core if index in literals]

    def _by(self, one: By) -> Expr:
        """A literal that says that a reel is verified by an evening."""
        if one not in self.literals:
            job, evening = one
            cp, var = self.model.cp, self.model.jobs[job]
            literal = self.literals[one] = self.model.flag(f"{var.job.key} by {evening}")
            cp.add(var.done == 1).only_enforce_if(literal)
            for (_, window, _), there in var.steps["verify", 0].cells.items():
                if window > evening:
                    cp.add_implication(literal, there.negated())
        return self.literals[one]
