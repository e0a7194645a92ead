"""Why not: the rule that keeps a reel out, or a song from a date, found by relaxing one at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime

from core.plan import Plan
from core.planning.diary import Diary
from core.planning.follow import draft_of_plan, followed
from core.planning.lists import enter_job
from core.planning.problem import DeckFacts, Home, Job, Problem
from core.planning.reading import read_problem
from core.planning.whynot import why_not
from core.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Because:
    """What stands in the way: the rule in the trade's words, and what would change it."""

    what: str
    rule: str
    says: str


def why_reel(shelf: Shelf, plan: Plan, reel: str) -> Because:
    """Why the plan leaves this reel over."""
    left = next((row for row in plan.left_over if row.reel == reel), None)
    if left is None:
        return Because(reel, "", f"{reel} is not left over in this plan")
    problem = _problem(shelf, plan)
    job = next((job for job in problem.work if job.key == reel), None)
    if job is None or left.barred_by:
        return Because(reel, "barred" if left.barred_by else "", left.why)
    return _binding(problem, plan, job, None, left.why)


def why_song(shelf: Shelf, plan: Plan, song: str, by: date) -> tuple[Because, ...]:
    """Why the song is not ready by the end of that date: one reason for each reel that is late."""
    problem = _problem(shelf, plan)
    place = {job.key: job for job in problem.work}
    ends = {item.reel: item.end for item in plan.items if item.kind == "verify"}
    left = {row.reel: row for row in plan.left_over}
    out = []
    for reel in dict.fromkeys(need.reel for need in shelf.song(song).needs):
        known = shelf.reels.get(reel)
        if known is None or known.past("verified"):
            continue
        if reel in left and (left[reel].barred_by or reel not in place):
            out.append(Because(reel, "barred", left[reel].why))
        elif reel in place and (reel not in ends or ends[reel].date() > by):
            out.append(_binding(problem, plan, place[reel], by, "other reels come first"))
    return tuple(out)


def _problem(shelf: Shelf, plan: Plan) -> Problem:
    return read_problem(shelf, plan.start, (plan.until.date() - plan.start.date()).days)


def _binding(problem: Problem, plan: Plan, job: Job, by: date | None, otherwise: str) -> Because:
    """The first rule without which the reel finds a place beside the rest of the plan."""
    if not _fits(problem, None, job, by):
        for rule, says, other in relaxed(problem, job):
            if _fits(other, None, job, by):
                return Because(job.key, rule, f"{says} even if it came first")
        if by is None:
            return Because(job.key, "alone", why_not(problem, job))
        return Because(
            job.key, "alone", f"its steps take longer than until {by:%a %d %b}, even if it came first"
        )
    for rule, says, other in relaxed(problem, job):
        if _fits(other, plan, job, by):
            return Because(job.key, rule, says)
    busy = _before_it(problem, plan, job, by)
    return Because(job.key, "bench time", busy or otherwise)


def _fits(problem: Problem, plan: Plan | None, job: Job, by: date | None) -> bool:
    """True if the reel can be entered whole, alone or beside the plan's other reels, and ends in time."""
    last: datetime | None = None
    diary = Diary(problem)
    if plan is not None:
        others = tuple(i for i in plan.items if i.reel != job.key)
        without = replace(
            problem,
            jobs=tuple(replace(j, ends=j.ends and j is not problem.jobs[job.index]) for j in problem.jobs),
        )
        diary = followed(without, draft_of_plan(without, replace(plan, items=others)), exact=True)
        diary.problem = problem
    else:
        from core.planning.lists import prelude

        prelude(diary)
    if not enter_job(diary, problem.jobs[job.index], 0.0):
        return False
    ends = [s.end for s in diary.steps if s.job == job.index and s.kind == "verify"]
    last = problem.scale.moment(ends[-1]) if ends else None
    return last is not None and (by is None or last.date() <= by)


def relaxed(problem: Problem, job: Job) -> Iterator[tuple[str, str, Problem]]:
    """The problem without one rule: its name, what that says about the reel, and the problem."""
    setup = str(problem.setups[job.parts[0].setup]) if job.parts else ""
    same = sum(1 for other in problem.work if any(p.setup == q.setup for p in other.parts for q in job.parts))
    waits = f"{same} reel{'s' if same != 1 else ''} of this set-up ({setup}) wait for"
    if any(facts.deck.setup_needs_helper for facts in problem.decks):
        decks = tuple(_with_helper(facts) for facts in problem.decks)
        yield "helper", f"{waits} the helper; one more visit would do it", replace(problem, decks=decks)
    if any(facts.deck.loud for facts in problem.decks):
        decks = tuple(_unmuted(problem, facts) for facts in problem.decks)
        yield (
            "loud hours",
            "the loud hours of the evenings are used up; later ones would do it",
            replace(problem, decks=decks),
        )
    if job.warmth != "no":
        chambers = tuple(replace(c, trays=c.trays * 2) for c in problem.chambers)
        yield (
            "trays",
            "the chamber's trays are taken when it could go in; more would do it",
            replace(problem, chambers=chambers),
        )
        home = (Home(0, problem.end, problem.end),)
        yield (
            "home",
            f"no more loads of {job.heat / 60:g} h fit in while someone is home",
            replace(problem, homes=home),
        )
    if job.lapse is not None or job.warmth == "must":
        jobs = tuple(_lasting(j) if j.index == job.index else j for j in problem.jobs)
        yield "playable days", "no evening is free within its playable days", replace(problem, jobs=jobs)
    lasting = tuple(_lasting(j) if j.calibration else j for j in problem.jobs)
    if any(j.calibration and (j.lapse is not None or j.warmth != "no") for j in problem.jobs):
        yield (
            "calibration",
            "no calibration reel is fit to line up with when its turn comes",
            replace(problem, jobs=lasting),
        )


def _with_helper(facts: DeckFacts) -> DeckFacts:
    return replace(facts, full_runs=facts.runs)


def _unmuted(problem: Problem, facts: DeckFacts) -> DeckFacts:
    runs = tuple(((w.start, w.end),) for w in problem.windows)
    return replace(facts, runs=runs, full_runs=facts.full_runs if facts.deck.setup_needs_helper else runs)


def _lasting(job: Job) -> Job:
    if job.warmth == "must":
        return replace(job, playable=job.playable + 1_000_000)
    return replace(job, lapse=None)


def _before_it(problem: Problem, plan: Plan, job: Job, by: date | None) -> str:
    """How much bench time there is, how much is used, and how much the reel still asks for."""
    from core.planning.least import least_minutes

    windows = [w for w in problem.windows if by is None or problem.scale.moment(w.start).date() <= by]
    total = sum(w.minutes for w in windows)
    end = windows[-1].end if windows else 0
    used = sum(
        int(problem.scale.exact(i.end) - problem.scale.exact(i.start))
        for i in plan.items
        if i.kind != "condition" and problem.scale.exact(i.end) <= end
    )
    wanted = least_minutes(job)
    return (
        f"{used} of {total} bench minutes in {len(windows)} evenings go to reels that come first; it takes"
        f" {wanted} more: an evening with that much time left would do it"
    )
