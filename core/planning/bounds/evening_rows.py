"""The rows of the evenings' bound: what stretches of evenings can hold, as one linear programme.

For every stretch of evenings: the part of each reel played and verified by its end, the part of each song
ready by then, and line-ups by deck and set-up. A time-indexed relaxation, as in M. E. Dyer and L. A. Wolsey,
Discrete Applied Mathematics 26 (1990) 255-270. Whole transfers in an evening: dual feasible functions, as in
S. P. Fekete and J. Schepers, Mathematical Programming 91 (2001) 11-31. Every plan is a solution of the rows.
"""

from __future__ import annotations

from dataclasses import field
from fractions import Fraction
from math import floor

from core.planning.bounds.bounds import can_end
from core.planning.bounds.soonest import Soonest
from core.planning.facts.problem import Job, Problem, SongFacts
from core.values import dataclass

Terms = list[tuple[int, float]]  # columns and factors
SHARES = (1, 2, 3)  # transfers over half of an evening, over a third, over a quarter


@dataclass(frozen=True, slots=True)
class Stretch:
    """Evenings in a row that the programme treats as one."""

    windows: tuple[int, ...]
    start: int
    end: int


@dataclass(slots=True)
class Programme:
    """The linear programme as it grows: columns from nothing up to ``highs``, rows of at most ``limits``."""

    problem: Problem
    found: Soonest
    stretches: list[Stretch]
    jobs: list[Job]
    late: Fraction  # minutes that count for what is not ready in any of the stretches
    highs: list[float] = field(default_factory=list)
    limits: list[float] = field(default_factory=list)
    entries: list[tuple[int, int, float]] = field(default_factory=list)  # row, column, factor; they add up
    cost: Terms = field(default_factory=list)
    constant: float = 0.0
    played: dict[tuple[int, int, int], int] = field(default_factory=dict)  # job, part, by stretch
    ready: dict[tuple[int, int], int] = field(default_factory=dict)  # job, by stretch
    plays: dict[tuple[int, int], int] = field(default_factory=dict)  # job, stretch: soonest end of a transfer
    runs: dict[tuple[int, int, int], list[tuple[Terms, int]]] = field(default_factory=dict)
    shares: dict[int, int] = field(default_factory=dict)  # column: its job
    lined: dict[int, Terms] = field(default_factory=dict)  # line-up minutes by stretch
    ever: dict[tuple[int, int, int], int] = field(default_factory=dict)  # deck, set-up, stretch: full by then
    aligns: dict[tuple[int, int, int], tuple[int, int]] = field(default_factory=dict)  # full and touch-up
    stands: dict[tuple[int, int, int], int] = field(default_factory=dict)  # deck, set-up: behind a stretch
    last: dict[tuple[int, int, int], int] = field(default_factory=dict)  # the same: lined up to last, in full
    parts: set[int] = field(default_factory=set)  # columns that need not be whole

    def variable(self, high: float = 1.0, *, whole: bool = True) -> int:
        """A new column, from nothing up to ``high``; ``whole`` in every plan."""
        if not whole:
            self.parts.add(len(self.highs))
        self.highs.append(high)
        return len(self.highs) - 1

    def at_most(self, terms: Terms, high: float) -> None:
        """A new row."""
        row = len(self.limits)
        self.limits.append(high)
        self.entries += [(row, column, factor) for column, factor in terms]

    def waits(self, moments: list[tuple[int, int]], weight: float) -> None:
        """Adds what it costs until it is ready, by minutes in order: the part that is ready then."""
        lead, penalty = float(self.problem.scale.lead), float(self.late)
        later = penalty
        self.constant += weight * penalty
        for minute, ready in reversed(moments):
            counted = self.problem.comfort.counted(minute)
            self.cost.append((ready, weight * (counted + lead - later)))
            later = counted + lead


def spoken_of(problem: Problem, found: Soonest) -> tuple[list[Job], list[SongFacts]]:
    """Songs that can be ready and their reels alone, as others can but stand in their way; else all reels."""
    songs = [song for song in problem.songs if can_end(song, found)]
    needed = {job for song in songs for job in song.jobs} if songs else set(found.ends)
    return [job for job in problem.work if job.index in needed], songs


def programme_of(problem: Problem, found: Soonest, stretches: list[Stretch]) -> Programme:
    """All rows, and what they cost."""
    jobs, songs = spoken_of(problem, found)
    programme = Programme(problem, found, stretches, jobs, problem.penalty)
    for job in programme.jobs:
        transfer_rows(programme, job)
        moments = verify_rows(programme, job)
        if not songs:
            programme.waits(moments, 1.0)
    for song in songs:
        song_rows(programme, song.priority, song.jobs)
    add_decks(programme)
    _operator(programme)
    _trays(programme)
    return programme


def add_decks(programme: Programme) -> None:
    """Line-ups on every deck."""
    for deck in range(len(programme.problem.decks)):
        _line_ups(programme, deck)
    _lined_before(programme)


def transfer_rows(programme: Programme, job: Job) -> None:
    """Each transfer once, in evenings and on decks that can hold it."""
    for part, what in enumerate(job.parts):
        before: int | None = None
        for b, stretch in enumerate(programme.stretches):
            decks = []
            for deck in range(len(what.minutes)):
                ends = (programme.found.play(job, part, deck, w) for w in stretch.windows)
                soon = min((end for end in ends if end is not None), default=None)
                if soon is not None:
                    decks.append(deck)
                    programme.plays[job.index, b] = min(soon, programme.plays.get((job.index, b), soon))
            if not decks:
                if before is not None:
                    programme.played[job.index, part, b] = before
                continue
            by = programme.played[job.index, part, b] = programme.variable()
            moved: Terms = [(by, 1.0)] if before is None else [(by, 1.0), (before, -1.0)]
            shares = [programme.variable() for _ in decks] if len(decks) > 1 else []
            programme.shares.update(dict.fromkeys(shares, job.index))
            if shares:
                programme.at_most(moved + [(share, -1.0) for share in shares], 0.0)
            else:
                programme.at_most([(variable, -factor) for variable, factor in moved], 0.0)
            for place, deck in enumerate(decks):
                terms: Terms = [(shares[place], 1.0)] if shares else moved
                minutes = what.minutes[deck] or 0
                programme.runs.setdefault((deck, b, what.setup), []).append((terms, minutes))
            before = by


def verify_rows(programme: Programme, job: Job) -> list[tuple[int, int]]:
    """Verified no sooner than played, and no part of it undone again; by minutes, the part verified then."""
    soonest = programme.found.ends[job.index]
    before: int | None = None
    moments = []
    for b, stretch in enumerate(programme.stretches):
        parts = [(job.index, part, b) for part in range(len(job.parts))]
        if stretch.end < soonest or any(part not in programme.played for part in parts):
            continue
        by = programme.ready[job.index, b] = programme.variable()
        moments.append((max(stretch.start + job.verify, soonest), by))
        for part in parts:
            programme.at_most([(by, 1.0), (programme.played[part], -1.0)], 0.0)
        if before is not None:
            programme.at_most([(before, 1.0), (by, -1.0)], 0.0)
        before = by
    return moments


def song_rows(programme: Programme, priority: int, jobs: tuple[int, ...]) -> None:
    """Ready no sooner than each of its reels; early in an evening only if all were played before it."""
    problem, ready = programme.problem, programme.ready
    soonest = max(programme.found.ends[job] for job in jobs)
    shortest = min(problem.jobs[job].verify for job in jobs)
    moments: list[tuple[int, int]] = []
    for b, stretch in enumerate(programme.stretches):
        if stretch.end < soonest or any((job, b) not in ready for job in jobs):
            continue
        plays = [job for job in jobs if (job, b) in programme.plays]
        ends = [programme.plays[job, b] + problem.jobs[job].verify for job in plays]
        early = max(stretch.start + shortest, soonest)
        parts = [(job, part, b - 1) for job in jobs for part in range(len(problem.jobs[job].parts))]
        if all(part in programme.played for part in parts):
            by = programme.variable()
            moments.append((early, by))
            for row in (*(ready[job, b] for job in jobs), *(programme.played[part] for part in parts)):
                programme.at_most([(by, 1.0), (row, -1.0)], 0.0)
        if ends:
            by = programme.variable()
            moments.append((max(early, min(*ends, stretch.end)), by))
            for job in jobs:
                programme.at_most([(by, 1.0), (ready[job, b], -1.0)], 0.0)
    programme.waits(moments, 100.0 * priority)


def _line_ups(programme: Programme, deck: int) -> None:
    """Behind line-ups: a touch-up on what the deck stood on, else a full one, with room for it."""
    facts, found = programme.problem.decks[deck], programme.found
    setups = sorted({setup for on, _, setup in programme.runs if on == deck})
    stands: dict[int, int] = {}
    for b, stretch in enumerate(programme.stretches):
        count = len(stretch.windows)
        room = [sum(e - a for a, e in facts.runs[w]) for w in stretch.windows]
        longest = max(room) - min(facts.full, facts.touch_up)
        many = sum(found.count(deck, w) for w in stretch.windows)
        touched = sum(bool(found.touches[deck][w]) for w in stretch.windows)
        fulls = {setup: programme.variable(min(count, many)) for setup in setups}
        touches = {setup: programme.variable(touched) for setup in setups}
        plays: list[tuple[Terms, int]] = []
        for setup in setups:
            full, touch = programme.aligns[deck, setup, b] = fulls[setup], touches[setup]
            own = programme.runs.get((deck, b, setup), [])
            plays += own
            lined: Terms = [(full, -1.0), (touch, -1.0)]
            for terms, _ in own:
                programme.at_most(terms + lined, 0.0)
            programme.at_most(run_minutes(own) + [(v, f * max(0, longest)) for v, f in lined], 0.0)
            stood = float(b == 0 and facts.stands_on == setup)
            before: Terms = [(stands[setup], 1.0)] if b else []
            late: Terms = [(full, -float(count))] if count > 1 else []
            programme.at_most([(touch, 1.0), *late, *((v, -count * f) for v, f in before)], count * stood)
            then = programme.stands[deck, setup, b] = programme.variable()
            programme.at_most([(then, 1.0), (full, -1.0), *((v, -f) for v, f in before)], stood)
            stands[setup] = then
            once = programme.variable()
            earlier: Terms = [(programme.ever[deck, setup, b - 1], -1.0)] if b else []
            programme.at_most([(once, 1.0), (full, -1.0), *earlier], 0.0)
            programme.ever[deck, setup, b] = once
        if not setups:
            continue
        programme.at_most([(stands[setup], 1.0) for setup in setups], 1.0)
        programme.at_most([(full, 1.0) for full in fulls.values()], many)
        programme.at_most([(touch, 1.0) for touch in touches.values()], touched)
        minutes: Terms = [(full, float(facts.full)) for full in fulls.values()]
        minutes += [(touch, float(facts.touch_up)) for touch in touches.values()]
        programme.at_most(run_minutes(plays) + minutes, sum(room))
        programme.lined.setdefault(b, []).extend(minutes)
        points = float(programme.problem.comfort.line_up)
        programme.cost += [(line_up, points * taken) for line_up, taken in minutes if points]
        _whole(programme, plays, longest, count, [*fulls.values(), *touches.values()])


def _lined_before(programme: Programme) -> None:
    """What is played by then: a full line-up to its set-up lies before it, unless a deck stood on it."""
    decks = programme.problem.decks
    for (job, part, b), by in programme.played.items():
        what = programme.problem.jobs[job].parts[part]
        able = [deck for deck, minutes in enumerate(what.minutes) if minutes is not None]
        if any(decks[deck].stands_on == what.setup for deck in able):
            continue
        lined = [
            (programme.ever[deck, what.setup, b], -1.0)
            for deck in able
            if (deck, what.setup, b) in programme.ever
        ]
        programme.at_most([(by, 1.0), *lined], 0.0)


def run_minutes(plays: list[tuple[Terms, int]]) -> Terms:
    """The minutes that these transfers take."""
    return [(variable, factor * minutes) for terms, minutes in plays for variable, factor in terms]


def _whole(
    programme: Programme, plays: list[tuple[Terms, int]], longest: int, count: int, lined: list[int]
) -> None:
    """One transfer over half of an evening, two over a third, three over a quarter, and what fits beside."""
    if longest <= 0:
        return
    used = programme.variable(count)
    programme.at_most([(used, 1.0), *((line_up, -1.0) for line_up in lined)], 0.0)
    for share in SHARES:
        row: Terms = []
        for terms, minutes in plays:
            times, rest = divmod((share + 1) * minutes, longest)
            size = times / share if rest else minutes / longest
            row += [(variable, factor * size) for variable, factor in terms if size]
        programme.at_most([*row, (used, -1.0)], 0.0)


def _operator(programme: Programme) -> None:
    """One person: transfers, line-ups and desk work fit into each stretch, desk work when it can be done."""
    desk: Terms = []
    for b, stretch in enumerate(programme.stretches):
        minutes = float(sum(programme.problem.windows[w].minutes for w in stretch.windows))
        here = programme.variable(minutes, whole=False)
        desk.append((here, -1.0))
        plays = [one for (_, at, _), own in programme.runs.items() if at == b for one in own]
        programme.at_most([(here, 1.0), *run_minutes(plays), *programme.lined.get(b, [])], minutes)
        done: Terms = []
        for job in programme.jobs:
            before = float(job.identify + job.repair + job.audition)
            if (job.index, 0, b) in programme.played:
                done.append((programme.played[job.index, 0, b], before))
            if (job.index, b) in programme.ready:
                done.append((programme.ready[job.index, b], job.verify + (0.0 if job.parts else before)))
        programme.at_most(done + desk, 0.0)


def _trays(programme: Programme) -> None:
    """By each stretch's end: trays of reels that must be warmed fit into loads that can have cooled."""
    problem = programme.problem
    warm = [job for job in programme.jobs if job.warmth == "must"]
    for heat in sorted({job.heat for job in warm}):
        own = [job for job in warm if job.heat >= heat]
        cool = min(job.cool for job in own)
        for b, stretch in enumerate(programme.stretches):
            room = 0
            for facts in problem.chambers:
                for home in problem.homes:
                    last = min(home.last, home.end - heat - facts.touch, stretch.end - heat - cool)
                    if last >= home.first:
                        room += facts.trays * (1 + floor((last - home.first) / max(1, heat + facts.touch)))
            taken: Terms = []
            for job in own:
                if (job.index, 0, b) in programme.played:
                    least = min((n for n in job.trays if n), default=1)
                    taken.append((programme.played[job.index, 0, b], float(least)))
            programme.at_most(taken, float(room))
