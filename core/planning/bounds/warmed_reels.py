"""Reels in loads as rows of the programme of whole evenings: looked at before, cooled and playable behind.

Calibration reels too: a line-up names one that is looked at, cooled and playable, where it must name one.
"""

from __future__ import annotations

from collections import defaultdict

from core.planning.bench.calibration import always_there, wanted_calibrations
from core.planning.bounds.evening_desk import Chain
from core.planning.bounds.evening_helper import within
from core.planning.bounds.evening_loads import Loads
from core.planning.bounds.evening_rows import Terms
from core.planning.bounds.load_starts import Place
from core.planning.facts.problem import Job


def add_warmed(loads: Loads) -> None:
    """All that follows for the reels in the loads."""
    for job in loads.warm:
        if not job.calibration:
            _warmed(loads, job)
    _calibrated(loads)
    for place in loads.kinds:
        _looks_fit(loads, place)


def _warmed(loads: Loads, job: Job) -> None:
    """Warmed once at most; mended and played once cooled and while playable, or as it is before it lapses."""
    desk, members = loads.desk, loads.members[job.index]
    desk.programme.at_most([(joined, 1.0) for _, joined in members], 1.0)
    if job.look:
        _looked_before(loads, job, members)
    if job.index in desk.mends:
        _cooled(loads, job, desk.mends[job.index], job.repair)
    for part in range(len(job.parts)):
        shortest = min(m for m in job.parts[part].minutes if m is not None)
        done = desk.played(job, part)
        _cooled(loads, job, done, shortest)
        _lapsed(loads, job, done, shortest)


def _cooled(loads: Loads, job: Job, done: Chain, minutes: int) -> None:
    """Not done by an evening before its load has cooled; without a load only as it is, before it lapses."""
    programme, members = loads.desk.programme, loads.members[job.index]
    windows = programme.problem.windows
    lapsed = job.lapse if job.warmth == "may" else -1
    as_it_is = [b for b in done if lapsed is None or windows[b].start + minutes <= lapsed]
    for b, by in done.items():
        late = windows[b].end - minutes
        soon = [joined for place, joined in members if place.first + job.heat + job.cool <= late]
        others = [(joined, 1.0) for _, joined in members if joined not in soon]
        if job.warmth == "must" or b not in as_it_is:
            first = [(done[as_it_is[-1]], -1.0)] if as_it_is else []
            programme.at_most([(by, 1.0), *first, *((joined, -1.0) for joined in soon)], 0.0)
        if others:
            programme.at_most([(by, 1.0), *others], 1.0)
        for place, joined in members:
            if joined in soon:
                _begun_in_time(loads, job, place, (by, joined, b))


def _begun_in_time(loads: Loads, job: Job, place: Place, at: tuple[int, int, int]) -> None:
    """Done by an evening, and in a load: one that begins early enough for that."""
    by, joined, b = at
    index = loads.cooled.index(job.heat + job.cool)
    able = loads.able(place)
    early = [(count, -1.0) for kind, count in able if kind.later[index] <= b]
    if len(early) < len(able):
        loads.desk.programme.at_most([(by, 1.0), (joined, 1.0), *early], 1.0)


def _lapsed(loads: Loads, job: Job, done: Chain, minutes: int) -> None:
    """Not played in an evening in which it is playable no more, out of what load it came."""
    for b, by in done.items():
        end, before = loads.desk.programme.problem.windows[b].start + minutes, done.get(b - 1)
        late: Terms = [
            (joined, 1.0)
            for place, joined in loads.members[job.index]
            if place.last + job.heat + job.playable < end
        ]
        if late and by != before:
            played: Terms = [(by, 1.0)] if before is None else [(by, 1.0), (before, -1.0)]
            loads.desk.programme.at_most([*played, *late], 1.0)


def _looked_before(loads: Loads, job: Job, members: list[tuple[Place, int]]) -> None:
    """Looked at before the load; of a reel that is only assumed that evening is over then."""
    programme, seen = loads.desk.programme, loads.desk.looks[job.index]
    windows = programme.problem.windows
    ends = [w.over if job.assumed else max(w.start, job.look_from) + job.identify for w in windows]
    by_evening: dict[int, Terms] = defaultdict(list)
    for place, joined in members:
        by_evening[max((b for b, end in enumerate(ends) if end <= place.last), default=-1)].append(
            (joined, 1.0)
        )
    total: Terms = []
    for b in sorted(by_evening):
        total = [*total, *by_evening[b]]
        programme.at_most([*total, *([(seen[b], -1.0)] if b in seen else [])], 0.0)
    for place, joined in members if not job.assumed else ():
        for b, by in seen.items():
            able = loads.able(place)
            behind = [(count, -1.0) for kind, count in able if kind.begun > b]
            if place.first <= windows[b].end and windows[b].start <= place.last and len(behind) < len(able):
                before: Terms = [(seen[b - 1], -1.0)] if b - 1 in seen else []
                programme.at_most([(by, 1.0), *before, (joined, 1.0), *behind], 1.0)


def _looks_fit(loads: Loads, place: Place) -> None:
    """What is looked at and warmed on one day: the looks fit between the evening's beginning and the load."""
    programme, able = loads.desk.programme, loads.able(place)
    jobs = programme.problem.jobs
    members = {
        index: [(column, 1.0) for at, column in own if at.serves(place)]
        for index, own in loads.members.items()
        if jobs[index].look and jobs[index].identify
    }
    asked = {index: joined for index, joined in members.items() if joined}
    for b in sorted({kind.begun - 1 for kind, _ in able} - {-1}):
        looks: Terms = []
        for index, joined in asked.items():
            chain = loads.desk.looks[index]
            both = programme.variable(whole=False)
            here = within(chain, b) if b in chain else []
            if here:
                programme.at_most([*here, *joined, (both, -1.0)], 1.0)
                looks.append((both, float(jobs[index].identify)))
        most = int(sum(minutes for _, minutes in looks))
        room = [(count, -float(kind.over_of(b, most))) for kind, count in able]
        if any(-minutes < most for _, minutes in room):
            programme.at_most([*looks, *room], 0.0)


def _calibrated(loads: Loads) -> None:
    """A line-up has a calibration reel that is looked at, cooled and playable, where it must name one."""
    programme, problem = loads.desk.programme, loads.desk.programme.problem
    for index in wanted_calibrations(problem):
        for member in loads.members[index] if problem.jobs[index].look else ():
            _looked_before(loads, problem.jobs[index], [member])
    for (deck, setup, b), both in programme.aligns.items():
        if always_there(problem, deck, setup):
            continue
        ways = [
            (column, -1.0)
            for index in problem.decks[deck].needed(setup)
            for column in _fit(loads, problem.jobs[index], deck, b)
        ]
        for line_up in both:
            programme.at_most([(line_up, 1.0), *ways], 0.0)


def _fit(loads: Loads, job: Job, deck: int, b: int) -> list[int]:
    """The columns one of which says that a calibration reel may be fit in an evening."""
    desk, window, facts = (
        loads.desk,
        loads.desk.programme.problem.windows[b],
        loads.desk.programme.problem.decks[deck],
    )
    shortest = min(facts.full, facts.touch_up)
    last, first = window.end - shortest, window.start + shortest
    out: list[int] = []
    if job.warmth != "must" and job.ready <= last and (job.lapse is None or job.lapse >= first):
        if not job.look:
            return [desk.one]
        out += [desk.looks[job.index][b]] if b in desk.looks[job.index] else []
    for place, joined in loads.members[job.index]:
        soon, late = place.first + job.heat + job.cool, place.last + job.heat + job.playable
        if soon <= last and late >= first:
            out.append(joined)
    return out
