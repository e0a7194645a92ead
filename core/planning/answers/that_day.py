"""Why a reel is not played, or not warmed, on a date that is wished for; which wishes come first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from core.planning.answers.asking import FOREVER, Asking
from core.planning.answers.relaxing import relaxed
from core.planning.bench.draft import Draft, Load
from core.planning.bench.follow import draft_of_plan
from core.planning.bench.placing import Placing, without
from core.planning.facts import said
from core.planning.facts.least import least_minutes
from core.planning.facts.problem import Job, Problem, Window
from core.planning.wishes.wished import day_of, minute_at, read_wished, with_jobs
from core.planning.wishes.wishes import Wish, one_less, wished_on
from core.shelf import Shelf
from core.words import day_text, hours_text


def that_day(asking: Asking, reel: str, day: date, *, load: bool = False) -> str:
    """Why the reel is not transferred on that date, or does not go into a chamber on it."""
    job = next((one for one in asking.problem.work if one.key == reel), None)
    if job is None or (load and job.warmth == "no"):
        return "it needs no warming" if job is not None else "nothing of that is left to do with it"
    windows = [w for w in asking.problem.windows if day_of(asking.problem, w.start) == day]
    if load:
        return _no_load_on(asking, job, day)
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


def _no_load_on(asking: Asking, job: Job, day: date) -> str:
    """Why no load of the reel starts on that date."""
    problem = asking.problem
    first, last = (minute_at(problem, day + timedelta(days=n)) for n in (0, 1))
    starts = [h for h in problem.homes if h.first < last and h.last >= first]
    longest = max((h.end - max(h.first, first) for h in starts), default=0)
    wanted = job.heat + min(facts.touch for facts in problem.chambers)
    if longest < wanted:
        home = f"the longest stretch is {hours_text(longest)}" if longest else "nobody is home at all"
        return f"it takes {hours_text(wanted)} with someone home, and on that date {home}"
    if job.ready >= last:
        return f"it is not at hand before {said.moment(problem.scale.moment(job.ready))}"
    if on_date(problem, without(asking.draft, job), job, day, load=True):
        return "there is room for it on that date: plan again for longer"
    inside = [problem.jobs[m].key for x in asking.draft.loads if first <= x.start < last for m in x.members]
    if inside:
        return f"the chamber's hours on that date go to {said.listed(inside)}"
    return "warmed on that date it would find no evening within its playable days"


def _on(asking: Asking, windows: list[Window], job: Job) -> list[str]:
    """The reels that are worked on in those windows."""
    steps = (s for s in asking.draft.steps for w in windows if w.start <= s.start < w.end)
    return list(dict.fromkeys(asking.problem.jobs[s.job].key for s in steps if s.job not in (-1, job.index)))


def in_the_way(asking: Asking, wish: Wish, *, load: bool) -> str:
    """``wish 2 comes first``: the wishes without which the reel would have its date; empty for none."""
    return comes_first(list(_numbers(asking, wish, load=load)))


def comes_first(numbers: list[int]) -> str:
    """That the wishes of these numbers come first; empty for none."""
    if not numbers:
        return ""
    if len(numbers) == 1:
        return f"wish {numbers[0]} comes first"
    return f"wishes {', '.join(map(str, numbers[:-1]))} and {numbers[-1]} come first"


def _numbers(asking: Asking, wish: Wish, *, load: bool) -> Iterator[int]:
    every = {one.words: n for n, one in enumerate(wished_on(asking.shelf).values(), start=1)}
    days = (asking.plan.until.date() - asking.plan.start.date()).days
    by_words = {one.words: one for one in wished_on(asking.shelf).values()}
    for words, fewer in one_less(asking.wishes):
        other = by_words.get(words)
        if other is None or other == wish or wish.day is None:
            continue
        problem = read_wished(asking.shelf, asking.plan.start, days, fewer)
        draft = draft_of_plan(problem, asking.plan)
        job = next((one for one in problem.work if one.key == wish.about), None)
        if job is None:
            continue
        for held in problem.jobs:
            draft = without(draft, held) if held.key in _about(asking.shelf, other) else draft
        if on_date(problem, without(draft, job), job, wish.day, load=load):
            yield every[words]


def _about(shelf: Shelf, wish: Wish) -> set[str]:
    """The reels of which that wish says something."""
    if wish.kind == "by" and wish.about in shelf.songs:
        return {need.reel for need in shelf.songs[wish.about].needs}
    return {wish.about} if wish.kind in ("on", "off", "warm", "from") else set()


def on_date(problem: Problem, draft: Draft | None, job: Job, day: date, *, load: bool) -> bool:
    """Whether the reel is played on that date beside that draft, or goes into a chamber on it."""
    if load:
        there = replace(job, ready=max(job.ready, minute_at(problem, day)))
        steps = Placing(with_jobs(problem, {job.index: there}), draft).steps_of(there)
        return any(isinstance(one, Load) and day_of(problem, one.start) == day for one in steps)
    windows = frozenset(w.index for w in problem.windows if day_of(problem, w.start) == day)
    there = replace(job, windows=windows)
    return Placing(with_jobs(problem, {job.index: there}), draft).end_of(there) is not None
