"""Why a reel is not played, or not warmed, on a date that is wished for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from core.planning.answers.asking import FOREVER, Asking
from core.planning.answers.relaxing import relaxed
from core.planning.bench.placing import without
from core.planning.facts import said
from core.planning.facts.least import least_minutes
from core.planning.facts.problem import Job, Problem, Window
from core.planning.wishes.wished import day_of, minute_at, with_jobs
from core.words import day_text, hours_text


def that_day(asking: Asking, reel: str, day: date, *, load: bool = False) -> str:
    """Why the reel is not transferred on that date, or does not go into a chamber on it."""
    job = next((one for one in asking.problem.work if one.key == reel), None)
    if job is None or (load and job.warmth == "no"):
        return "it needs no warming" if job is not None else "nothing of that is left to do with it"
    windows = [w for w in asking.problem.windows if day_of(asking.problem, w.start) == day]
    if load:
        return _no_load_on(asking.problem, job, day)
    if not windows:
        return f"there are no bench hours on {day_text(day)}"
    there = replace(job, windows=frozenset(w.index for w in windows))
    for draft in (None, without(asking.draft, job)):
        if not asking.fits(with_jobs(asking.problem, {job.index: there}), draft, job, FOREVER):
            for one in relaxed(asking.problem, job, (), minute_at(asking.problem, day + timedelta(days=1))):
                if asking.fits(with_jobs(one.whole, {job.index: there}), draft, job, FOREVER):
                    return one.why
            break
    else:
        return "the plan with it there was worse than without: plan again for longer"
    if draft is None:
        return f"it takes {least_minutes(job)} min and a line-up, more than that date leaves it"
    return f"that evening goes to {said.listed(_on(asking, windows, job)) or 'other wishes'}"


def _no_load_on(problem: Problem, job: Job, day: date) -> str:
    """Why no load of the reel starts on that date."""
    first, last = (minute_at(problem, day + timedelta(days=n)) for n in (0, 1))
    starts = [h for h in problem.homes if h.first < last and h.last >= first]
    longest = max((h.end - max(h.first, first) for h in starts), default=0)
    wanted = job.heat + min(facts.touch for facts in problem.chambers)
    if longest < wanted:
        home = f"the longest stretch is {hours_text(longest)}" if longest else "nobody is home at all"
        return f"it takes {hours_text(wanted)} with someone home, and on that date {home}"
    return "the chamber is taken on that date, or the reel is not at hand"


def _on(asking: Asking, windows: list[Window], job: Job) -> list[str]:
    """The reels that are worked on in those windows."""
    steps = (s for s in asking.draft.steps for w in windows if w.start <= s.start < w.end)
    return list(dict.fromkeys(asking.problem.jobs[s.job].key for s in steps if s.job not in (-1, job.index)))
