"""Filling what is left free: a look at reels that can go no further yet, and first hearings."""

from __future__ import annotations

from collections.abc import Iterable
from math import floor

from core.plan import Plan
from core.planning.bench.diary import Diary, LoadEntry
from core.planning.bench.draft import Draft, Step, ends_of
from core.planning.bench.enter_loads import offsets
from core.planning.bench.lists import enter_job
from core.planning.facts.problem import Problem, Stretch, Window
from core.planning.facts.unseen import looks_waited_for
from core.reels import minutes
from core.shelf import Shelf

WAITS = 60  # minutes for which a look that was told of waits although there is room for it, at most


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
    diary.lay_steps(draft.steps)
    for row in diary.busy:
        row.sort()
    return diary


def filled(shelf: Shelf, problem: Problem, draft: Draft, kept: Plan | None = None) -> Draft:
    """The draft with identifies of reels that can go no further, and first hearings, in what time is left.

    A look that the kept plan had stays where it was, as long as that is free.

    A calibration reel for which reels wait is looked at as soon as there is room; the others in evenings that
    have work anyway where one has room for them; a reel that is left over for now behind them, in such
    evenings alone, so that the next plan knows it.
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
    told = _looks_of(problem, kept)
    stay = {key for key, first in (*looks, *later) if _stays(diary, key, takes, first, told.get(key, -1))}
    for key, first in looks:
        if key not in stay:
            soonest = key in waited
            _look(diary, key, takes, first, problem.windows if soonest else _with_work_first(diary))
    evenings = _used(diary)
    for key, first in later:
        if key not in stay:
            _look(diary, key, takes, first, evenings)
    return diary.draft()


def _used(diary: Diary) -> list[Window]:
    """The evenings that have work."""
    used = {diary.window_at(step.start) for step in diary.steps}
    return [window for window in diary.problem.windows if window.index in used]


def _with_work_first(diary: Diary) -> list[Window]:
    """All evenings, those before that have work anyway: none is begun for a look that can ride along."""
    used = _used(diary)
    return [*used, *(window for window in diary.problem.windows if window not in used)]


def _looks_of(problem: Problem, kept: Plan | None) -> dict[str, int]:
    """When the kept plan looks at which reel, in minutes; looks that are over are below nought."""
    looks = (item for item in (kept.items if kept is not None else ()) if item.kind == "identify")
    return {item.reel: floor(problem.scale.exact(item.start)) for item in looks}


def _stays(diary: Diary, key: str, takes: int, first: int, start: int) -> bool:
    """Enters a look where it was told of, if that is free, lies ahead, and nobody waits an hour for it."""
    index = diary.window_at(start) if start >= first else -1
    if index < 0 or diary.gap(index, start, takes, ((start, start + takes),)) != start:
        return False
    window = diary.problem.windows[index]
    soonest = diary.gap(index, max(window.start, first), takes, ((window.start, window.end),))
    if start - soonest >= WAITS:
        return False
    diary.enter_step(Step("identify", start, start + takes, reel=key), index)
    return True


def _look(diary: Diary, key: str, takes: int, first: int, windows: Iterable[Window]) -> None:
    """Enters a look at that reel as soon as there is room for it in those evenings."""
    for window in windows:
        start = diary.gap(window.index, max(window.start, first), takes, ((window.start, window.end),))
        if start >= 0:
            diary.enter_step(Step("identify", start, start + takes, reel=key), window.index)
            return
