"""Whether a reel finds a place: alone, or beside a plan whose own steps all stay where they are."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from core.planning.bench.diary import Diary
from core.planning.bench.draft import Draft, Load, Step, ends_of
from core.planning.bench.follow import followed
from core.planning.bench.lists import enter_job, prelude
from core.planning.facts.problem import Job, Problem


@dataclass(slots=True)
class Placing:
    """A problem with a draft entered in it (None: nothing), in which single reels are tried."""

    problem: Problem
    draft: Draft | None
    diary: Diary = field(init=False)

    def __post_init__(self) -> None:
        if self.draft is None:
            self.diary = Diary(self.problem)
            prelude(self.diary)
            return
        placed = set(ends_of(self.draft))
        jobs = tuple(replace(j, ends=j.ends and j.index in placed) for j in self.problem.jobs)
        self.diary = followed(replace(self.problem, jobs=jobs), self.draft, exact=True)
        self.diary.problem = self.problem

    def steps_of(self, job: Job) -> list[Step | Load]:
        """The steps and loads by which the reel comes to its end; none where it finds no place."""
        steps, loads = len(self.diary.steps), self._loads(job)
        mark = self.diary.mark()
        found: list[Step | Load] = []
        if enter_job(self.diary, self.problem.jobs[job.index], 0.0):
            found = [*self.diary.steps[steps:]]
            found += [Load(*one, (job.index,)) for one in self._loads(job) - loads]
        self.diary.back(mark)
        return found

    def end_of(self, job: Job) -> int | None:
        """When the reel would be verified; None where it finds no place."""
        ends = [one.end for one in self.steps_of(job) if isinstance(one, Step) and one.kind == "verify"]
        return ends[-1] if ends else None

    def _loads(self, job: Job) -> set[tuple[int, int]]:
        return {
            (chamber, entry.start)
            for chamber, row in enumerate(self.diary.loads)
            for entry in row
            if job.index in entry.members
        }


def without(draft: Draft, job: Job) -> Draft:
    """The draft with everything of one reel taken out; line-ups stay."""
    loads = (replace(load, members=tuple(m for m in load.members if m != job.index)) for load in draft.loads)
    steps = tuple(step for step in draft.steps if step.job != job.index)
    return Draft(steps, tuple(load for load in loads if load.members))
