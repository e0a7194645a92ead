"""A plan in whole minutes and indices: what list and solver hand to one another, with its cost."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate
from math import floor

from core.plan import Kind
from core.planning.facts.problem import Problem, Run
from core.values import dataclass

AT_THE_TABLE: tuple[Kind, ...] = ("identify", "repair", "verify")
"""Steps that need no deck."""


@dataclass(frozen=True, slots=True)
class Step:
    """One item of the operator's; ``part`` counts a reel's transfers.

    ``job`` is -1 for an align, and where only ``reel`` is named.
    """

    kind: Kind
    start: int
    end: int
    job: int = -1
    deck: int = -1
    part: int = 0
    setup: int = -1
    full: bool = False
    calibration: int = -1
    reel: str = ""  # for a look at a reel that is no job

    def entered(self, start: int, end: int, *, full: bool, calibration: int) -> Step:
        """The same step then; what ``replace`` would make, in a third of its time."""
        if (start, end, full, calibration) == (self.start, self.end, self.full, self.calibration):
            return self
        job, deck, part, setup = self.job, self.deck, self.part, self.setup
        return Step(self.kind, start, end, job, deck, part, setup, full, calibration, self.reel)


@dataclass(frozen=True, slots=True)
class Load:
    """A chamber load: its start and the jobs in it."""

    chamber: int
    start: int
    members: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Draft:
    """All steps in order of time, and all loads."""

    steps: tuple[Step, ...] = ()
    loads: tuple[Load, ...] = ()


def make_draft(steps: list[Step], loads: list[Load]) -> Draft:
    """The draft of these, put in order."""
    ordered = sorted(steps, key=lambda s: (s.start, s.end, s.kind != "align", s.job, s.deck, s.part))
    return Draft(tuple(ordered), tuple(sorted(loads, key=lambda load: (load.start, load.chamber))))


def ends_of(draft: Draft) -> dict[int, int]:
    """When each job is verified."""
    return {step.job: step.end for step in draft.steps if step.kind == "verify"}


def cost(problem: Problem, draft: Draft) -> Fraction:
    """The cost in hundredths of priority-minutes, exact: what lists and solver compare."""
    comfort = problem.comfort
    total = waiting(problem, ends_of(draft))
    if comfort.line_up:
        total += comfort.line_up * sum(s.end - s.start for s in draft.steps if s.kind == "align")
    return total + comfort.tied * tied_minutes(problem, draft) if comfort.tied else total


def tied_minutes(problem: Problem, draft: Draft) -> int | Fraction:
    """Minutes outside bench time in which at least one load runs, from its start, or the plan's, on."""
    first = -problem.scale.lead if problem.running else 0
    runs: list[Run] = [(max(first, load.loaded), load.end) for load in problem.running]
    for load in draft.loads:
        heat = max(problem.jobs[index].heat for index in load.members)
        runs.append((load.start, load.start + heat))
    return sum(outside(problem, a, b) for a, b in joined(runs))


def outside(problem: Problem, first: int | Fraction, last: int | Fraction) -> int | Fraction:
    """Minutes of a stretch that lie outside bench time."""
    bench = problem.comfort.bench
    place = max(0, bisect_right(bench, (first, first)) - 1)
    inside: int | Fraction = 0
    for a, b in bench[place:]:
        if a >= last:
            break
        inside += max(0, min(b, last) - max(a, first))
    return max(0, last - first - inside)


def joined(runs: list[Run]) -> list[Run]:
    """Stretches that overlap or touch, made one."""
    out: list[Run] = []
    for a, b in sorted(runs):
        if out and a <= out[-1][1]:
            out[-1] = (out[-1][0], max(b, out[-1][1]))
        else:
            out.append((a, b))
    return out


def waiting(problem: Problem, ends: dict[int, int]) -> Fraction:
    """What songs and reels wait, in hundredths of priority-minutes, counted by evenings or by the minute."""
    counted = problem.comfort.counted
    minutes, waited, never = 0, 0, problem.never  # of what is done: ends and weights; weight of what is not
    for job in problem.work:
        end = ends.get(job.index)
        if end is None:
            never += 1
        else:
            minutes, waited = minutes + counted(end), waited + 1
    for song in problem.songs:
        weight = 100 * song.priority
        if song.hopeless or any(job not in ends for job in song.jobs):
            never += weight
        else:
            last = counted(max(ends[job] for job in song.jobs))
            minutes, waited = minutes + weight * last, waited + weight
    return minutes + waited * problem.scale.lead + never * problem.penalty


def score_of(problem: Problem, draft: Draft) -> Fraction:
    """The plan's score, exact; what is wished for counts only where plans are compared."""
    songs = tuple(song for song in problem.songs if not song.wish)
    plain = problem if len(songs) == len(problem.songs) else replace(problem, songs=songs)
    return cost(plain, draft) / 6000


def ties(problem: Problem, draft: Draft) -> tuple[int, int, int]:
    """Aligns, then evenings (windows with an item of the operator's), then tapes warmed though playable."""
    aligns = sum(step.kind == "align" for step in draft.steps)
    starts = [window.start for window in problem.windows]
    used = {bisect_right(starts, step.start) for step in draft.steps}
    again = sum(problem.jobs[index].warmth == "may" for load in draft.loads for index in load.members)
    return aligns, len(used), again


class Watched:
    """Minutes in which a load ties nobody further: bench time, and while loads run that began already."""

    def __init__(self, problem: Problem) -> None:
        runs: list[Run] = [(load.loaded, load.end) for load in problem.running]
        self._runs = joined([*problem.comfort.bench, *runs])
        self._starts = [first for first, _ in self._runs]
        self._sums = [0, *accumulate(last - first for first, last in self._runs)]
        self._before: dict[int, int | Fraction] = {}  # each moment is asked about by many loads

    def tying(self, start: int, heat: int) -> int:
        """Whole minutes for which a load of that length ties someone who was not tied already."""
        return max(0, floor(heat - (self._until(start + heat) - self._until(start))))

    def _until(self, minute: int) -> int | Fraction:
        known = self._before.get(minute)
        if known is None:
            place = max(0, bisect_right(self._starts, minute) - 1)
            first, last = self._runs[place] if self._runs else (minute, minute)
            within = max(0, min(last, minute) - first)
            known = self._before[minute] = self._sums[place] + within
        return known
