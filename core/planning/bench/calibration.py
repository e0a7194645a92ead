"""Which calibration reel is fit when, from the loads and identifies of a draft."""

from __future__ import annotations

from dataclasses import replace

from core.planning.bench.diary import FOREVER
from core.planning.bench.draft import Draft, Load, Step
from core.planning.facts.problem import Job, Problem, Stretch


def always_there(problem: Problem, deck: int) -> bool:
    """True if the deck needs no calibration reel or has one that is fit for the whole plan."""
    facts = problem.decks[deck]
    if not facts.deck.calibration_needed:
        return True
    jobs = (problem.jobs[index] for index in facts.calibrations)
    return any(fit_always(job) for job in jobs)


def fit_always(job: Job) -> bool:
    """Identified, never lapsing, at hand from the start."""
    return not job.look and job.warmth == "no" and job.lapse is None and job.ready <= 0


def fits(problem: Problem, draft: Draft, job: Job) -> list[Stretch]:
    """Stretches in which this calibration reel may be lined up with, by this draft."""
    known = job.ready
    if job.look:
        ends = [s.end for s in draft.steps if s.job == job.index and s.kind == "identify"]
        if not ends:
            return []
        known = max(known, ends[0])
    starts = sorted(load.start for load in draft.loads if job.index in load.members)
    out: list[Stretch] = []
    if job.warmth != "must":
        out.append((known, FOREVER if job.lapse is None else job.lapse))
    out += [(start + job.heat + job.cool, start + job.heat + job.playable) for start in starts]
    kept = []
    for place, (first, last) in enumerate(out):
        following = place - (job.warmth != "must") + 1
        until = min(last, starts[following]) if following < len(starts) else last
        if max(first, known) <= until:
            kept.append((max(first, known), until))
    return kept


def stretches(problem: Problem, draft: Draft, deck: int) -> list[Stretch]:
    """All stretches in which some calibration reel of the deck is fit."""
    return [one for c in problem.decks[deck].calibrations for one in fits(problem, draft, problem.jobs[c])]


def with_calibrations(problem: Problem, draft: Draft) -> Draft:
    """The same draft, each line-up naming the most alike of the calibration reels fit for it.

    One that is looked at or warmed for it alone comes last, so that nothing is done for likeness only.
    """
    known = {c: fits(problem, draft, problem.jobs[c]) for facts in problem.decks for c in facts.calibrations}
    aligns = [step for step in draft.steps if step.kind == "align"]
    able = {step: _able(problem, known, step) for step in aligns}
    costly = {s.job for s in draft.steps if s.job in known} | {m for x in draft.loads for m in x.members}
    needed = {ones[0] for ones in able.values() if len(ones) == 1}
    alike: dict[tuple[int, int], tuple[bool, bool, bool, bool, bool, str]] = {}

    def likeness_to(setup: int, c: int) -> tuple[bool, bool, bool, bool, bool, str]:
        if (setup, c) not in alike:
            alike[setup, c] = c in costly - needed, *likeness(problem, setup, problem.jobs[c])
        return alike[setup, c]

    def named(step: Step) -> Step:
        if step.kind != "align":
            return step
        best = min(able[step], key=lambda c: likeness_to(step.setup, c), default=-1)
        return step if best == step.calibration else replace(step, calibration=best)

    return Draft(tuple(named(step) for step in draft.steps), draft.loads)


def _able(problem: Problem, known: dict[int, list[Stretch]], step: Step) -> tuple[int, ...]:
    """The calibration reels that are fit for the whole of a line-up."""
    return tuple(
        c
        for c in problem.decks[step.deck].calibrations
        if any(first <= step.start and step.end <= last for first, last in known[c])
    )


def likeness(problem: Problem, setup: int, job: Job) -> tuple[bool, bool, bool, bool, str]:
    """The smaller, the better the calibration reel suits: known, its own set-up alike, its width."""
    speed, eq, level, _ = problem.setups[setup].key
    own = job.reel.setup.key
    narrow = job.reel.width is None or job.reel.width.number not in problem.widths[setup]
    return job.look, own[:2] != (speed, eq), own[2] != level, narrow, job.key


def tidy(problem: Problem, draft: Draft) -> Draft:
    """The draft without line-ups that serve nothing, and without work on calibration reels that none uses."""
    steps = list(draft.steps)
    for place in range(len(problem.decks)):
        steps = _without_idle(problem, steps, place)
    trimmed = with_calibrations(problem, Draft(tuple(steps), draft.loads))
    used = {step.calibration for step in trimmed.steps}
    idle = {job.index for job in problem.jobs if job.calibration and job.index not in used}
    loads = []
    for load in trimmed.loads:
        members = tuple(index for index in load.members if index not in idle)
        if members:
            loads.append(Load(load.chamber, load.start, members))
    return Draft(tuple(step for step in trimmed.steps if step.job not in idle), tuple(loads))


def _without_idle(problem: Problem, steps: list[Step], deck: int) -> list[Step]:
    """Drops line-ups behind which nothing is played and on which no later touch-up rests."""
    own = [step for step in steps if step.deck == deck and step.kind in ("align", "transfer")]
    own.sort(key=lambda s: (s.start, s.end))
    dropped: set[int] = set()
    rests: int | None = None
    played = False
    for step in reversed(own):
        if step.kind == "transfer":
            played = True
            continue
        if not played and (rests != step.setup or not step.full):
            dropped.add(id(step))
            continue
        rests = None if step.full else step.setup
        played = False
    return [step for step in steps if id(step) not in dropped]
