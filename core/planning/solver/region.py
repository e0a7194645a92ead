"""Which part of a plan is free to change: some bench windows and the stretches at home before them."""

from __future__ import annotations

from dataclasses import field

from core.plan import Kind
from core.planning.bench.draft import Draft, Load, Step
from core.planning.bench.fill import home_of
from core.planning.facts.problem import Job, Problem
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Region:
    """Free windows and homes by index; ``whole`` where all of both are.

    ``newcomers`` are the jobs without a place that may be given one; None for all of them.
    """

    windows: frozenset[int]
    homes: frozenset[int]
    whole: bool = False
    newcomers: frozenset[int] | None = None

    @classmethod
    def all_of(cls, problem: Problem) -> Region:
        """Everything is free."""
        return cls(frozenset(range(len(problem.windows))), frozenset(range(len(problem.homes))), True)


@dataclass(slots=True)
class Ground:
    """A draft seen against a region: what of it stays and what may move."""

    problem: Problem
    region: Region
    draft: Draft
    steps: dict[tuple[int, Kind, int], Step] = field(default_factory=dict)
    load_of: dict[int, Load] = field(default_factory=dict)
    window_of: dict[Step, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        starts = [(w.start, w.end, w.index) for w in self.problem.windows]
        place = 0
        for step in self.draft.steps:
            while place < len(starts) and starts[place][1] < step.end:
                place += 1
            self.window_of[step] = starts[place][2]
            if step.job >= 0:
                self.steps[step.job, step.kind, step.part] = step
        for load in self.draft.loads:
            for index in load.members:
                self.load_of[index] = load

    def frozen(self, job: Job, kind: Kind, part: int = 0) -> Step | None:
        """The step as it stays; None where it may move or is not there."""
        step = self.steps.get((job.index, kind, part))
        return None if step is None or self.window_of[step] in self.region.windows else step

    def load_stays(self, load: Load) -> bool:
        """True for a load that must not change."""
        if self.region.whole:
            return False
        if any(self.problem.jobs[index].calibration for index in load.members):
            return True
        return home_of(self.problem, load.start) not in self.region.homes

    def frozen_load(self, job: Job) -> Load | None:
        """The load of a reel, where it stays."""
        load = self.load_of.get(job.index)
        return load if load is not None and self.load_stays(load) else None
