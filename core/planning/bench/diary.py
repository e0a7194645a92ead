"""The bench diary: what is already entered for operator, decks and chambers, and what still fits in between.

Everything entered keeps the rules; every entry can be taken back to an earlier mark.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import partial

from core.planning.bench.draft import Draft, Load, Step, make_draft
from core.planning.facts.problem import Job, Problem, Stretch

FOREVER = 1 << 40


@dataclass(slots=True)
class LoadEntry:
    """A load in the diary; ``heats`` are the distinct minutes of warmth of its members."""

    chamber: int
    home: int
    start: int
    temperature: str
    members: list[int]
    heats: list[int]
    trays: int

    @property
    def end(self) -> int:
        """The last take-out."""
        return self.start + self.heats[-1]


@dataclass(slots=True)
class Fit:
    """A stretch in which a calibration reel may be lined up with."""

    first: int
    last: int


@dataclass(slots=True)
class Diary:
    """Entries by window, deck and chamber."""

    problem: Problem
    busy: list[list[Stretch]] = field(init=False)
    free: list[int] = field(init=False)
    touches: list[Stretch] = field(default_factory=list)
    aligns: list[list[Step]] = field(init=False)
    decked: list[list[Step]] = field(init=False)
    loads: list[list[LoadEntry]] = field(init=False)
    steps: list[Step] = field(default_factory=list)
    fits: dict[int, list[Fit]] = field(default_factory=dict)
    used: dict[int, int] = field(default_factory=dict)  # calibration reel -> end of its last use
    journal: list[Callable[[], object]] = field(default_factory=list)
    starts: list[int] = field(init=False)  # of the windows
    last_minutes: list[int] = field(init=False)  # of the windows

    def __post_init__(self) -> None:
        problem = self.problem
        self.starts = [window.start for window in problem.windows]
        self.last_minutes = [window.end for window in problem.windows]
        self.busy = [[] for _ in problem.windows]
        self.free = [window.minutes for window in problem.windows]
        self.aligns = [[] for _ in problem.decks]
        self.decked = [[] for _ in problem.decks]
        self.loads = [[] for _ in problem.chambers]
        for job in problem.jobs:
            if job.calibration:
                ready = not job.look and job.warmth != "must"
                last = FOREVER if job.lapse is None else job.lapse
                self.fits[job.index] = [Fit(job.ready, last)] if ready else []
        for load in problem.running:
            touch = problem.chambers[load.chamber].touch
            for _, minute in load.touches:
                self.enter_touch(minute, minute + touch)
        for one in problem.made:
            align = Step("align", one.start, one.end, -1, one.deck, 0, one.setup, calibration=one.calibration)
            self.enter_step(align, 0)
        self.journal.clear()

    def was_made(self, step: Step) -> bool:
        """True for a line-up that is entered from the first: the plan begins with it."""
        return step.kind == "align" and any(
            (one.deck, one.start) == (step.deck, step.start) for one in self.problem.made
        )

    # --- marks ------------------------------------------------------------------------------------------

    def mark(self) -> int:
        """A place to which ``back`` returns."""
        return len(self.journal)

    def back(self, mark: int) -> None:
        """Takes back every entry since the mark."""
        while len(self.journal) > mark:
            self.journal.pop()()

    # --- operator ---------------------------------------------------------------------------------------

    def window_at(self, minute: int) -> int:
        """The window in which the minute lies, -1 for none."""
        place = bisect_left(self.starts, minute + 1) - 1
        return place if place >= 0 and minute <= self.problem.windows[place].end else -1

    def after_look(self, job: Job, end: int) -> int:
        """From when the next step may be, where the reel's identify ends then: its evening is over first."""
        return self.problem.windows[self.window_at(end)].over if job.assumed else end

    def enter_busy(self, window: int, start: int, end: int) -> None:
        """The operator is busy."""
        if end <= start:
            return
        row, span = self.busy[window], (start, end)
        insort(row, span)
        edges = self.problem.windows[window]
        length = min(end, edges.end) - max(start, edges.start)
        self.free[window] -= length

        def undo() -> None:
            row.remove(span)
            self.free[window] += length

        self.journal.append(undo)

    def enter_touch(self, start: int, end: int) -> None:
        """A chamber touch: it takes the operator wherever a window lies under it."""
        if end <= start:
            return
        span = (start, end)
        insort(self.touches, span)
        self.journal.append(lambda: self.touches.remove(span))
        for index in self.windows_under(start, end):
            self.enter_busy(index, start, end)

    def enter_step(self, step: Step, window: int) -> None:
        """A step in its window."""
        self.enter_busy(window, step.start, step.end)
        self.steps.append(step)
        self.journal.append(self.steps.pop)
        if step.deck >= 0:
            self._enter_in(self.decked[step.deck], step)
            if step.kind == "align":
                self._enter_in(self.aligns[step.deck], step)
        if step.calibration >= 0:
            before = self.used.get(step.calibration, 0)
            self.used[step.calibration] = max(before, step.end)
            self.journal.append(lambda: self.used.__setitem__(step.calibration, before))

    def _enter_in(self, row: list[Step], step: Step) -> None:
        self.journal.append(partial(row.pop, _insert(row, step)))

    def lay_busy(self, window: int, start: int, end: int) -> None:
        """Takes the operator's time for good; who lays sorts the window's row in the end."""
        if end <= start:
            return
        edges = self.problem.windows[window]
        self.busy[window].append((start, end))
        self.free[window] -= min(end, edges.end) - max(start, edges.start)

    def lay_steps(self, steps: Iterable[Step]) -> None:
        """Enters steps for good, in order of time, but for the line-ups that were made."""
        windows, busy, free, used = self.problem.windows, self.busy, self.free, self.used
        for step in steps:
            if self.problem.made and self.was_made(step):
                continue
            start, end, deck = step.start, step.end, step.deck
            if end > start:  # as ``lay_busy``: this is where most of the time of a round goes
                window = self.window_at(start)
                edges = windows[window]
                busy[window].append((start, end))
                free[window] -= min(end, edges.end) - max(start, edges.start)
            self.steps.append(step)
            if deck >= 0:
                self.decked[deck].append(step)
                if step.kind == "align":
                    self.aligns[deck].append(step)
            if step.calibration >= 0:
                used[step.calibration] = max(used.get(step.calibration, 0), end)

    def gap(
        self, window: int, first: int, minutes: int, runs: tuple[Stretch, ...], last: int = FOREVER
    ) -> int:
        """The first grid minute from which the operator has so much time in those runs; -1 for none."""
        if self.free[window] < minutes:
            return -1
        grid, row = self.problem.scale.grid, self.busy[window]
        for a, b in runs:
            b = min(b, last)
            t = max(a, first)
            if t + minutes > b:
                continue
            t = -(-t // grid) * grid
            for s, e in row:
                if e <= t:
                    continue
                if s >= t + minutes:
                    break
                t = -(-e // grid) * grid
            if t + minutes <= b:
                return t
        return -1

    def touch_blocked(self, start: int, end: int) -> int:
        """The end of what keeps the operator from a touch then; 0 if nothing does."""
        if end <= start:
            return 0
        place = bisect_left(self.touches, (end, -1))
        for s, e in self.touches[max(0, place - 8) : place]:
            if e > start and s < end:
                return e
        for index in self.windows_under(start, end):
            for s, e in self.busy[index]:
                if e > start and s < end:
                    return e
        return 0

    def windows_under(self, start: int, end: int) -> range:
        """The windows that meet this stretch."""
        last = bisect_left(self.starts, end)
        first = max(0, bisect_left(self.starts, start + 1) - 1)
        if first < last and self.problem.windows[first].end <= start:
            first += 1
        return range(first, last)

    def draft(self) -> Draft:
        """What is entered, as a draft."""
        loads = [
            Load(entry.chamber, entry.start, tuple(entry.members)) for row in self.loads for entry in row
        ]
        return make_draft(self.steps, loads)

    def job(self, index: int) -> Job:
        """The job of that number."""
        return self.problem.jobs[index]


def _insert(row: list[Step], step: Step) -> int:
    """Puts the step in order; entries are taken back last first, so its place is the same then."""
    place = len(row)
    while place and (row[place - 1].start, row[place - 1].end) > (step.start, step.end):
        place -= 1
    row.insert(place, step)
    return place
