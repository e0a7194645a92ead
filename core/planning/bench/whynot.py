"""Why a reel is left over although nothing bars it, in the trade's words, from the facts of the problem."""

from __future__ import annotations

from core.planning.bench.diary import Diary
from core.planning.bench.draft import Draft, ends_of
from core.planning.bench.enter_loads import load_options
from core.planning.bench.lists import enter_job, prelude
from core.planning.facts import said
from core.planning.facts.at_hand import at_hand
from core.planning.facts.problem import DeckFacts, Job, Problem
from core.planning.facts.unseen import unseen, unseen_words
from core.words import hours_text


def whys(problem: Problem, draft: Draft) -> dict[str, str]:
    """A reason for every reel that counts and is not verified in the draft."""
    ends = ends_of(draft)
    undone = [job for job in problem.work if job.index not in ends]
    return {job.key: why_not(problem, job) for job in undone}


def why_not(problem: Problem, job: Job) -> str:
    """The first thing that stands in this reel's way if it were alone; else that the time is gone."""
    if job.waits:
        return job.waits
    if not problem.windows:
        return "no bench time in these days"
    longest = max(window.minutes for window in problem.windows)
    for minutes, what in ((job.identify, "identify"), (job.repair, "repair"), (job.verify, "verify")):
        if minutes > longest:
            return f"its {what} takes {minutes} min, the longest evening has {longest}"
    alone = Diary(problem)
    prelude(alone)
    if enter_job(alone, job, 0.0):
        return "the bench time of these days goes to reels that come first"
    if job.warmth == "must":
        found = _no_load(problem, job)
        if found:
            return found
    for part in job.parts:
        found = _no_deck(problem, job, part.setup, part.minutes)
        if found:
            return found
    if job.lapse is not None and job.warmth == "no":
        ends = said.moment(problem.scale.moment(job.lapse))
        return f"no evening is left before its playable time ends on {ends}"
    if job.warmth == "must":
        return "no evening comes between its cooling and the end of its playable days in this plan"
    return "the days of this plan are too few for all of its steps"


def _no_load(problem: Problem, job: Job) -> str:
    hours = hours_text(job.heat)
    touch = min(chamber.touch for chamber in problem.chambers)
    longest = max((home.end - home.first for home in problem.homes), default=0)
    if longest < job.heat + touch:
        out = " with its take-out" if touch else ""
        return (
            f"nobody is home for {hours_text(job.heat + touch)} in one go, as its warming{out} asks: "
            f"the longest is {hours_text(longest)}"
        )
    if job.playable <= job.cool:
        return "its playable days are over before it has cooled"
    option = next(load_options(Diary(problem), job, max(job.ready, job.identify)), None)
    if option is None:
        return f"the chamber has no {hours} free while someone is home"
    cool = option.out + job.cool
    if cool >= problem.windows[-1].end:
        start, cooled = (said.moment(problem.scale.moment(one)) for one in (option.start, cool))
        return f"it can be warmed from {start} at the soonest and is cool on {cooled}, after the last evening"
    return ""


def _no_deck(problem: Problem, job: Job, setup: int, minutes: tuple[int | None, ...]) -> str:
    reasons = [
        why
        for facts, needed in zip(problem.decks, minutes, strict=True)
        if needed is not None and (why := _deck_blocks(problem, facts, setup, needed))
    ]
    taking = [needed for needed in minutes if needed is not None]
    return reasons[0] if reasons and len(reasons) == len(taking) else ""


def _deck_blocks(problem: Problem, facts: DeckFacts, setup: int, minutes: int) -> str:
    name = facts.deck.id
    needed = facts.needed(setup)
    bare = Diary(problem)
    prelude(bare)
    if needed and not any(bare.fits[c] for c in needed):
        blind = [problem.jobs[c].key for c in needed if unseen(problem.jobs[c])]
        if blind:
            return f"{name} cannot be lined up to {problem.setups[setup]}: {unseen_words(blind)}"
        waits = [f"{one.key} {one.waits}" for one in (problem.jobs[c] for c in needed) if one.waits]
        if len(waits) == len(needed):
            return f"{name} cannot be lined up to {problem.setups[setup]}: {'; '.join(waits)}"
        which = said.listed([problem.jobs[c].key for c in needed])
        return f"no calibration reel can be made ready in time for {problem.setups[setup]}: {which}"
    runs = [b - a for row in facts.runs for a, b in row]
    what = "loud hours" if facts.deck.loud else "evening"
    least = min(facts.full, facts.touch_up)
    if max(runs, default=0) < minutes + least:
        longest = max(runs, default=0)
        return f"{minutes} min on {name} behind a line-up of {least} min: the longest {what} has {longest}"
    full = max((b - a for row in facts.full_runs for a, b in row), default=0)
    if facts.stands_on != setup and full < facts.full:
        who = "the helper is never there" if facts.deck.setup_needs_helper else "no evening is free"
        return f"no full line-up of {name} to {problem.setups[setup]}: {who} for {facts.full} min"
    return _never_calibrated(problem, facts, setup) if facts.stands_on != setup else ""


def _never_calibrated(problem: Problem, facts: DeckFacts, setup: int) -> str:
    """Why a full line-up has no calibration reel whenever it could be made; empty where it may have one."""
    needed = [problem.jobs[c] for c in facts.needed(setup)]
    spans = [span for one in needed for span in at_hand(problem, one)]
    runs = [run for row in facts.full_runs for run in row]
    if not needed or any(min(b, d) - max(a, c) >= facts.full for a, b in runs for c, d in spans):
        return ""
    which = said.listed([one.key for one in needed])
    warm = " must be warmed and" if all(one.warmth == "must" for one in needed) else ""
    when = "the helper is there" if facts.deck.setup_needs_helper else f"{facts.deck.id} may run"
    what = f"no full line-up of {facts.deck.id} to {problem.setups[setup]}"
    return f"{what}: {which}{warm} is playable at no time when {when}"
