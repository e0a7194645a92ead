"""Room that is there already: a reel left over for which no rule is to blame, only the search."""

from __future__ import annotations

from core.planning.answers.proving import comes_in
from core.planning.bench.draft import Draft
from core.planning.bench.enter_loads import load_options
from core.planning.bench.placing import Placing
from core.planning.facts import said
from core.planning.facts.least import least_minutes
from core.planning.facts.problem import Job, Problem
from core.planning.wishes.wished import day_of
from core.words import counted, day_text, hours_text

FOREVER = 1 << 40
ROOMY = 0.8  # of the bench minutes that are taken: below, evenings are not full but in pieces


def room_beside(problem: Problem, rest: Draft, job: Job, last: int) -> str:
    """That the reel finds a place by then beside all else of the plan; empty where it finds none."""
    end = Placing(problem, rest).end_of(job)
    if end is None or end > last:
        return ""
    return (
        f"there is room for it up to {day_text(day_of(problem, end))} beside all else: no rule keeps it out"
    )


def in_a_better_plan(problem: Problem, draft: Draft, job: Job, last: int) -> str:
    """That a plan of a better score has the reel by then; empty where a short search finds none."""
    if not comes_in(problem, draft, job, last):
        return ""
    return "a better plan has it, with other reels elsewhere: no rule keeps it out"


def warmed_in_vain(problem: Problem, rest: Draft, job: Job) -> str:
    """That the reel could be warmed beside the plan, and not played in time; empty where it could not."""
    if next(load_options(Placing(problem, rest).diary, job, job.ready), None) is None:
        return ""
    days = job.playable / 1440
    when = f"it can be warmed when someone is home for {hours_text(job.heat)}"
    return f"{when}, and no evening that has what it asks for comes within its {days:g} playable days"


def slack_words(problem: Problem) -> str:
    """That the slack leaves too little of every evening, how much at the most, and to make it less."""
    most = max((window.minutes for window in problem.windows), default=0)
    share = f"{float(100 * problem.slack):g} %"
    return f"slack {share} leaves at most {most} min of an evening, too few for it: make it less"


def full_words(problem: Problem, draft: Draft, job: Job, last: int) -> str:
    """How much bench time there is by then, how much goes to which reels, and how much this one asks for."""
    total, used, reels = _taken(problem, draft, job, last)
    evenings = counted(sum(w.start < last for w in problem.windows), "evening")
    upto = f" up to {day_text(day_of(problem, last - 1))}" if last < FOREVER else ""
    told = f"{used} of {total} bench minutes in {evenings}{upto} go to {said.listed(reels)}"
    if roomy(problem, draft, job, last):
        return f"{told}, and no evening beside them has at once what it asks for: {_asks_for(problem, job)}"
    come = "come" if len(reels) > 1 else "comes"
    return f"{told}, which {come} first; it takes {least_minutes(job)} min and a line-up"


def roomy(problem: Problem, draft: Draft, job: Job, last: int) -> bool:
    """Whether the evenings up to then are not full but in pieces."""
    total, used, _ = _taken(problem, draft, job, last)
    return used < ROOMY * total


def _taken(problem: Problem, draft: Draft, job: Job, last: int) -> tuple[int, int, list[str]]:
    """Bench minutes by then, those that go to others, and whose they are."""
    first = {step.start: step for step in draft.steps if step.end <= last and step.job != job.index}
    total = sum(w.minutes for w in problem.windows if w.start < last)
    reels = dict.fromkeys(problem.jobs[s.job].key for s in first.values() if s.job >= 0)
    return total, sum(s.end - s.start for s in first.values()), list(reels)


def _asks_for(problem: Problem, job: Job) -> str:
    """What an evening must have for the reel: minutes, a line-up, who is there, warmth before."""
    places = range(len(problem.decks))
    taking = [problem.decks[d].deck for d in places if any(p.minutes[d] is not None for p in job.parts)]
    helped = bool(taking) and all(deck.setup_needs_helper for deck in taking)
    out = [f"{least_minutes(job)} min and a line-up{' with the helper' if helped else ''}"]
    out += ["loud hours"] if taking and all(deck.loud for deck in taking) else []
    if job.warmth == "must":
        days = job.playable / 1440
        out.append(f"{hours_text(job.heat)} of warmth at most {days:g} days before")
    return said.listed(out)
