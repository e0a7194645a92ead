"""Desk work and the operator's minutes evening by evening, as rows of the programme of whole evenings.

Looks, repairs and first hearings come in order, each in an evening that can hold it; transfers, line-ups,
desk work and the touches of loads fit into the evening together. Left out: the order inside an evening.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from core.planning.bench.calibration import wanted_calibrations
from core.planning.bounds.evening_rows import Programme, Terms, run_minutes
from core.planning.facts.problem import Job, Stretch

Chain = dict[int, int]  # by evening: the column that says it is done by then
Item = tuple[Terms, int]  # whether it is done in an evening, and its minutes


@dataclass(slots=True)
class Desk:
    """What is done at the desk: looks and repairs by reel, and all minutes by evening."""

    programme: Programme
    looks: dict[int, Chain] = field(default_factory=dict)
    mends: dict[int, Chain] = field(default_factory=dict)
    used: dict[int, Terms] = field(default_factory=lambda: defaultdict(list))  # touches of loads
    items: dict[int, list[Item]] = field(default_factory=lambda: defaultdict(list))
    one: int = -1  # a column that may always be one

    def __post_init__(self) -> None:
        self.one = self.programme.variable()

    def chain(self, rooms: list[bool]) -> Chain:
        """Columns that only grow, from the first evening on that has room; where there is none they stay."""
        out: Chain = {}
        before: int | None = None
        for b, room in enumerate(rooms):
            if room:
                by = self.programme.variable()
                if before is not None:
                    self.programme.at_most([(before, 1.0), (by, -1.0)], 0.0)
                before = by
            if before is not None:
                out[b] = before
        return out

    def follows(self, later: Chain, earlier: Chain, *, nights: int = 0) -> None:
        """The later by an evening only if the earlier by so many evenings before."""
        seen: set[tuple[int, int | None]] = set()
        for b, by in later.items():
            had = earlier.get(b - nights)
            if (by, had) not in seen:
                seen.add((by, had))
                self.programme.at_most([(by, 1.0)] if had is None else [(by, 1.0), (had, -1.0)], 0.0)

    def spend(self, done: Chain, minutes: int) -> None:
        """Counts the minutes of what is done by evenings in the evening in which it is done."""
        before: int | None = None
        for b, by in done.items():
            if minutes and by != before:
                done_here = [(by, 1.0)] if before is None else [(by, 1.0), (before, -1.0)]
                self.items[b].append((done_here, minutes))
            before = by

    def played(self, job: Job, part: int) -> Chain:
        """A transfer, by evenings."""
        keys = ((b, (job.index, part, b)) for b in self.evenings)
        return {b: self.programme.played[key] for b, key in keys if key in self.programme.played}

    def verified(self, job: Job) -> Chain:
        """Its verify, by evenings."""
        keys = ((b, (job.index, b)) for b in self.evenings)
        return {b: self.programme.ready[key] for b, key in keys if key in self.programme.ready}

    @property
    def evenings(self) -> range:
        """The evenings, by number."""
        return range(len(self.programme.problem.windows))


def add_desk(desk: Desk) -> None:
    """Desk work in order."""
    problem = desk.programme.problem
    wanted = {*wanted_calibrations(problem), *(job.index for job in desk.programme.jobs)}
    for job in problem.jobs:
        if job.look and job.index in wanted:
            rooms = [max(w.start, job.look_from) + job.identify <= w.end for w in problem.windows]
            desk.looks[job.index] = desk.chain(rooms)
            desk.spend(desk.looks[job.index], job.identify)
    for job in desk.programme.jobs:
        _in_order(desk, job)
        _not_same_evening(desk, job)
        desk.spend(desk.verified(job), job.verify)


def add_room(desk: Desk) -> None:
    """One person: all minutes of an evening fit into it, around the touches of loads that are running."""
    programme = desk.programme
    for b in desk.evenings:
        items = [*_on_decks(programme, b), *desk.items[b]]
        free = _free(desk, b)
        programme.at_most([*run_minutes(items), *desk.used[b]], float(sum(free)))
        for least in sorted({minutes for _, minutes in items if minutes > min(free, default=0)}):
            long = [(terms, minutes) for terms, minutes in items if minutes >= least]
            room = [minutes for minutes in free if minutes >= least]
            programme.at_most(run_minutes(long), float(sum(room)))
            many = sum(minutes // least for minutes in room)
            programme.at_most([term for terms, _ in long for term in terms], float(many))


def _on_decks(programme: Programme, b: int) -> list[Item]:
    """Transfers and line-ups of an evening."""
    items = [one for (_, at, _), own in programme.runs.items() if at == b for one in own]
    for (deck, _, at), (full, touch) in programme.aligns.items():
        if at == b:
            facts = programme.problem.decks[deck]
            items += [([(full, 1.0)], facts.full), ([(touch, 1.0)], facts.touch_up)]
    return items


def _in_order(desk: Desk, job: Job) -> None:
    """What comes before the transfers, in order; a look at a reel only assumed lies in an earlier evening."""
    last, nights = desk.looks.get(job.index), int(job.assumed)
    steps: list[Chain] = []
    if job.repair:
        desk.mends[job.index] = desk.chain([_holds(desk, b, job.repair, None) for b in desk.evenings])
        desk.spend(desk.mends[job.index], job.repair)
        steps.append(desk.mends[job.index])
    if job.audition:
        runs = desk.programme.problem.hearing_runs
        heard = desk.chain([_holds(desk, b, job.audition, runs) for b in desk.evenings])
        desk.spend(heard, job.audition)
        steps.append(heard)
    for done in steps:
        if last is not None:
            desk.follows(done, last, nights=nights)
        last, nights = done, 0
    if last is not None:
        heads = [desk.played(job, part) for part in range(len(job.parts))] or [desk.verified(job)]
        for later in heads:
            desk.follows(later, last, nights=nights)


def _holds(desk: Desk, b: int, minutes: int, runs: tuple[tuple[Stretch, ...], ...] | None) -> bool:
    window = desk.programme.problem.windows[b]
    own = ((window.start, window.end),) if runs is None else runs[b]
    return any(end - start >= minutes for start, end in own)


def _not_same_evening(desk: Desk, job: Job) -> None:
    """Verified in a later evening, where the transfer leaves no room for it."""
    programme = desk.programme
    for b, by in desk.verified(job).items():
        soon = programme.plays.get((job.index, b))
        if soon is None or soon + job.verify <= programme.problem.windows[b].end:
            continue
        for part in range(len(job.parts)):
            before = programme.played.get((job.index, part, b - 1))
            programme.at_most([(by, 1.0)] if before is None else [(by, 1.0), (before, -1.0)], 0.0)


def _free(desk: Desk, b: int) -> list[int]:
    """Minutes between the touches of loads that are running, in whole steps of the grid."""
    problem = desk.programme.problem
    window, scale, out = problem.windows[b], problem.scale, []
    last = window.start
    touches = sorted(
        (scale.down(at), scale.up(at + problem.chambers[one.chamber].touch))
        for one in problem.running
        for _, at in one.touches
    )
    for start, end in touches:
        if start < end and window.start < end and start < window.end:
            out += [start - last] if last < start else []
            last = max(last, end)
    return [*out, window.end - last] if last < window.end else out
