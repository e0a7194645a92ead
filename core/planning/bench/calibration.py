"""Which calibration reel is fit when, from the loads and identifies of a draft."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace
from fractions import Fraction

from core.planning.bench.diary import FOREVER
from core.planning.bench.draft import Draft, Load, Step
from core.planning.facts.problem import Job, Problem, Stretch
from core.standing.calibration import Nearness, nearness
from core.studio.setup import width_key


def always_there(problem: Problem, deck: int, setup: int) -> bool:
    """True if a line-up to that set-up needs no calibration reel or has one fit for the whole plan."""
    needed = problem.decks[deck].needed(setup)
    return not needed or any(fit_always(problem.jobs[index]) for index in needed)


def wanted_calibrations(problem: Problem) -> list[int]:
    """Calibration reels that may have to be made fit: of line-ups for which none is always there."""
    pairs = [(d, x) for d, facts in enumerate(problem.decks) for x in facts.asked]
    asking = [(d, x) for d, x in pairs if not always_there(problem, d, x)]
    return sorted({c for d, x in asking for c in problem.decks[d].needed(x)})


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


def stretches(problem: Problem, draft: Draft, deck: int, setup: int) -> list[Stretch]:
    """All stretches in which some calibration reel for that line-up is fit."""
    needed = problem.decks[deck].needed(setup)
    return [one for c in needed for one in fits(problem, draft, problem.jobs[c])]


def with_calibrations(problem: Problem, draft: Draft) -> Draft:
    """The same draft, each line-up naming the nearest of the calibration reels that would do for it.

    One that is looked at or warmed for line-ups alone is named only where no other would do, or none of the
    width of a reel that plays on it; once it is named at all, it is there for every line-up.
    """
    known = {c: fits(problem, draft, problem.jobs[c]) for c in calibrations(problem)}
    steps = list(draft.steps)
    able = {n: _able(problem, known, step) for n, step in enumerate(steps) if step.kind == "align"}
    costly = {s.job for s in steps if s.job in known} | {m for x in draft.loads for m in x.members}
    there = known.keys() - costly
    for n, fit in able.items():
        if fit and there.isdisjoint(fit) and _needed(problem, steps[n]):
            there = there | {fit[0]}
    if any(len(fit) > 1 for fit in able.values()):
        behind = widths_behind(problem, draft)
        for n, widths in ((n, behind[steps[n]]) for n, fit in able.items() if behind and len(fit) > 1):
            able[n] = own_width_first(problem, steps[n], able[n], widths)
            there = there | _of_own_width(problem, able[n], there, widths)
    for n, fit in able.items():
        named = next((c for c in fit if c in there), -1)
        if named != steps[n].calibration:
            steps[n] = replace(steps[n], calibration=named)
    return Draft(tuple(steps), draft.loads)


def own_width_first(
    problem: Problem, step: Step, able: Sequence[int], widths: Set[Fraction | None]
) -> tuple[int, ...]:
    """Those calibration reels, nearest first; of some that are as near one as wide as a reel behind it."""
    near = {c: _nearness(problem, step.setup, c) for c in able}
    return tuple(sorted(able, key=lambda c: (*near[c], width_of(problem, c) not in widths)))


def _nearness(problem: Problem, setup: int, c: int) -> Nearness:
    """How near that calibration reel is to the set-up, each pair looked up once: every round asks again."""
    known = problem.nearness.get((setup, c))
    if known is None:
        known = problem.nearness[setup, c] = nearness(problem.setups[setup], problem.jobs[c].reel)
    return known


def _of_own_width(
    problem: Problem, able: tuple[int, ...], there: Set[int], widths: Set[Fraction | None]
) -> set[int]:
    """The nearest that is as wide as a reel behind a line-up, where the one that is named is not."""
    first = next((place for place, c in enumerate(able) if c in there), 0)
    if not able or width_of(problem, able[first]) in widths:
        return set()
    return set([c for c in able[:first] if width_of(problem, c) in widths][:1])


def widths_behind(problem: Problem, draft: Draft) -> dict[Step, set[Fraction | None]]:
    """By line-up, how wide the reels behind it are; nothing where all calibration reels are of one width."""
    if len({width_of(problem, c) for c in calibrations(problem)}) < 2:
        return {}
    behind: dict[int, set[Fraction | None]] = {}
    out: dict[Step, set[Fraction | None]] = {}
    for step in draft.steps:
        if step.kind == "align" and (step.full or step.deck not in behind):
            behind[step.deck] = out[step] = set()
        elif step.kind == "align":
            out[step] = behind[step.deck]
        elif step.kind == "transfer" and step.deck in behind:
            behind[step.deck].add(width_of(problem, step.job))
    return out


def width_of(problem: Problem, job: int) -> Fraction | None:
    """A reel's width as it is compared."""
    return width_key(problem.jobs[job].reel.width)


def calibrations(problem: Problem) -> tuple[int, ...]:
    """The jobs of calibration reels."""
    return tuple(job.index for job in problem.jobs if job.calibration)


def _needed(problem: Problem, step: Step) -> bool:
    return bool(problem.decks[step.deck].needed(step.setup))


def _able(problem: Problem, known: dict[int, list[Stretch]], step: Step) -> tuple[int, ...]:
    """The calibration reels that are fit for the whole of a line-up, nearest first."""
    return tuple(
        c
        for c in problem.decks[step.deck].calibrations[step.setup]
        if any(first <= step.start and step.end <= last for first, last in known[c])
    )


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
    kept = Draft(tuple(step for step in trimmed.steps if step.job not in idle), tuple(loads))
    return _warmed_once(problem, kept)


def _warmed_once(problem: Problem, draft: Draft) -> Draft:
    """Takes a calibration reel out of loads without which it serves its line-ups as well, the last first."""
    for c in calibrations(problem):
        warmed = [load for load in draft.loads if c in load.members]
        for load in reversed(warmed if len(warmed) > 1 else []):
            colder = Draft(draft.steps, _without(draft.loads, load, c))
            if _serves(problem, colder, c):
                draft = colder
    return draft


def _without(loads: tuple[Load, ...], load: Load, job: int) -> tuple[Load, ...]:
    """The loads with that job taken out of one of them."""
    left = tuple(member for member in load.members if member != job)
    return tuple(
        replace(one, members=left) if one is load else one for one in loads if one is not load or left
    )


def _serves(problem: Problem, draft: Draft, c: int) -> bool:
    """Whether a calibration reel is fit for all line-ups that name it."""
    known = fits(problem, draft, problem.jobs[c])
    named = (step for step in draft.steps if step.calibration == c)
    return all(any(first <= s.start and s.end <= last for first, last in known) for s in named)


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
