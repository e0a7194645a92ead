"""Filling what is left free: a look at reels that can go no further yet, and first hearings."""

from __future__ import annotations

from collections.abc import Iterable

from core.planning.bench.diary import Diary, LoadEntry
from core.planning.bench.draft import Draft, Step, ends_of
from core.planning.bench.enter_loads import offsets
from core.planning.bench.lists import enter_job
from core.planning.facts.problem import Problem, Stretch, Window
from core.planning.facts.unseen import looks_waited_for
from core.reels import minutes
from core.shelf import Shelf


def home_of(problem: Problem, start: int) -> int:
    """The stretch at home in which a load that starts then belongs."""
    return next(h for h, home in enumerate(problem.homes) if home.first <= start <= home.last)


def diary_of(problem: Problem, draft: Draft) -> Diary:
    """The diary in which this draft is entered, all at once: nothing of it can be taken back."""
    diary = Diary(problem)
    touches: list[Stretch] = []
    for load in draft.loads:
        jobs = [problem.jobs[index] for index in load.members]
        facts = problem.chambers[load.chamber]
        heats = sorted({job.heat for job in jobs})
        home = home_of(problem, load.start)
        trays = sum(job.trays[load.chamber] for job in jobs)
        members = list(load.members)
        entry = LoadEntry(load.chamber, home, load.start, jobs[0].temperature, members, heats, trays)
        diary.loads[load.chamber].append(entry)
        moments = [load.start + offset for offset in offsets(heats, facts.turn_every)]
        touches += [(moment, moment + facts.touch) for moment in moments if facts.touch > 0]
    for start, end in touches:
        for window in diary.windows_under(start, end):
            diary.lay_busy(window, start, end)
    diary.touches = sorted(diary.touches + touches)
    for step in draft.steps:
        diary.lay_step(step)
    for row in diary.busy:
        row.sort()
    return diary


def filled(shelf: Shelf, problem: Problem, draft: Draft) -> Draft:
    """The draft with identifies of reels that can go no further, and first hearings, in what time is left.

    A calibration reel for which reels wait is looked at before the others; a reel that is left over for now
    behind them, in evenings that have work anyway, so that the next plan knows it.
    """
    unheard = [job for job in problem.jobs if not job.ends]
    left = [job for job in problem.work if job.index not in ends_of(draft)]
    waited = looks_waited_for(shelf, problem, [*problem.inspect, *(job.key for job in left)])
    cooled = {key: cool for load in problem.running for key, _, cool, _ in load.members}
    looks = [(key, cooled.get(key, 0)) for key in (*waited, *problem.fillers)]
    looked = {step.job for step in draft.steps if step.kind == "identify"}
    later = [(job.key, job.look_from) for job in left if job.look and job.index not in looked]
    if not unheard and not looks and not later:
        return draft
    diary = diary_of(problem, draft)
    for job in unheard:
        mark = diary.mark()
        if not enter_job(diary, job, 0.0):
            diary.back(mark)
    takes = minutes.identify_minutes(shelf.studio)
    for key, first in looks:
        _look(diary, key, takes, first, problem.windows)
    used = {diary.window_at(step.start) for step in diary.steps}
    for key, first in later:
        _look(diary, key, takes, first, [window for window in problem.windows if window.index in used])
    return diary.draft()


def _look(diary: Diary, key: str, takes: int, first: int, windows: Iterable[Window]) -> None:
    """Enters a look at that reel as soon as there is room for it in those evenings."""
    for window in windows:
        start = diary.gap(window.index, max(window.start, first), takes, ((window.start, window.end),))
        if start >= 0:
            diary.enter_step(Step("identify", start, start + takes, reel=key), window.index)
            return
