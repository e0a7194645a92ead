"""Loads that start early in their stretch at home, where that costs nothing."""

from __future__ import annotations

from collections.abc import Callable, Set
from dataclasses import replace
from fractions import Fraction
from itertools import permutations

from core.planning.bench.draft import Draft, Load, make_draft, tied_minutes
from core.planning.bench.enter_loads import free_start, offsets
from core.planning.bench.fill import diary_of, home_of
from core.planning.facts.problem import Problem, Stretch
from core.planning.settling.early import early

WAITS = 60  # minutes for which a load that was told waits although it could begin, at most

SOON = 4  # grid moments from the soonest on that are tried, so that touches may lie beside steps and others

NoWorse = Callable[[Draft, Draft], bool]
WorthIt = Callable[[Draft, Draft, int], bool]
"""Asked of a new draft, the one before it, and the minutes that are won by it."""


def loads_early(problem: Problem, draft: Draft) -> Draft:
    """The draft with every load as early in its stretch at home as costs nothing; all steps may give way.

    Where another moment ties nobody for as long as that, the load goes in then.
    """
    for load in draft.loads:
        for start in _cheapest_first(problem, draft, load):
            found = early(problem, _with_start(draft, load, start), draft)
            if found is not None:
                draft = found
                break
    return draft


def _cheapest_first(problem: Problem, draft: Draft, load: Load) -> list[int]:
    """Earlier starts of a load that tie nobody for longer than its own: the least, then the soonest first."""
    free = _beside_all(problem, draft, load)
    starts = {*_starts(problem, draft, load), *([] if free is None else [free])}
    tied = {at: _tied(problem, _with_start(draft, load, at)) for at in starts}
    most = _tied(problem, draft)
    return sorted((at for at in starts if tied[at] <= most), key=lambda at: (tied[at], at))


def _tied(problem: Problem, draft: Draft) -> int | Fraction:
    return tied_minutes(problem, draft) if problem.comfort.tied else 0


def in_one_load(problem: Problem, draft: Draft, no_worse: NoWorse) -> Draft:
    """The draft with two loads of one stretch at home made one, where nothing is worse by it.

    One of calibration reels alone goes into any other: nobody stays at home a day for what could ride along.
    """
    for one, other in permutations(draft.loads, 2):
        near = home_of(problem, one.start) == home_of(problem, other.start)
        if not (near or _calibration_alone(problem, one)) or not _holds(problem, one, other):
            continue
        joined = replace(other, members=tuple(sorted((*other.members, *one.members))))
        rest = [load for load in draft.loads if load not in (one, other)]
        together = make_draft(list(draft.steps), [*rest, joined])
        found = early(problem, together, draft, windows=frozenset())  # None where a tape lapses by it
        if found is not None and no_worse(found, draft):
            return in_one_load(problem, found, no_worse)
    return draft


def _calibration_alone(problem: Problem, load: Load) -> bool:
    return all(problem.jobs[index].calibration for index in load.members)


def _holds(problem: Problem, one: Load, other: Load) -> bool:
    """Whether the other load's chamber has trays for both, at one temperature."""
    jobs = [problem.jobs[index] for index in (*one.members, *other.members)]
    trays = [job.trays[other.chamber] for job in jobs]
    whole = all(trays) and sum(trays) <= problem.chambers[other.chamber].trays
    apart = not set(one.members) & set(other.members)
    return whole and apart and len({job.temperature for job in jobs}) == 1


def loads_sooner(problem: Problem, kept: Draft, draft: Draft, worth: WorthIt) -> Draft:
    """The draft with loads beside all else as early as they fit, those of the kept plan where it is worth it.

    The evenings under a load are settled for it where that brings it sooner by as much as that.
    """
    for load in draft.loads:
        least = WAITS if load in kept.loads else problem.scale.grid
        start = _beside_all(problem, draft, load)
        sooner = draft
        if start is not None and load.start - start >= least:
            sooner = _accepted(problem, draft, load, start, frozenset(), worth) or draft
        now = load.start if sooner is draft else start or load.start
        draft = _making_room(problem, draft, load, now - WAITS, worth) or sooner
    return draft


def _making_room(problem: Problem, draft: Draft, load: Load, by: int, worth: WorthIt) -> Draft | None:
    """The draft with that load no later than so, steps of its evenings giving way; None where none fits."""
    for start in _starts(problem, draft, load):
        if start > by:
            return None
        under = _windows_under(problem, start, load)
        found = _accepted(problem, draft, load, start, under, worth)
        if found is not None:
            return found
    return None


def _accepted(
    problem: Problem, draft: Draft, load: Load, start: int, windows: Set[int], worth: WorthIt
) -> Draft | None:
    moved = _with_start(draft, load, start)
    found = early(problem, moved, draft, windows=windows)
    return found if found is not None and worth(found, draft, load.start - start) else None


def _with_start(draft: Draft, load: Load, start: int) -> Draft:
    loads = [replace(one, start=start) if one == load else one for one in draft.loads]
    return make_draft(list(draft.steps), loads)


def _windows_under(problem: Problem, start: int, load: Load) -> frozenset[int]:
    """The evenings in which such a load is touched, begun then or where it is."""
    end = load.start + max(problem.jobs[index].heat for index in load.members)
    return frozenset(w.index for w in problem.windows if w.start <= end and start <= w.end)


def _beside_all(problem: Problem, draft: Draft, load: Load) -> int | None:
    """The first start before its own at which the load fits beside all else where it is; None for none."""
    first = _first(problem, draft, load)
    if first >= load.start:
        return None
    rest = Draft(draft.steps, tuple(other for other in draft.loads if other is not load))
    heats = sorted({problem.jobs[index].heat for index in load.members})
    home = home_of(problem, load.start)
    start = free_start(diary_of(problem, rest), heats, load.chamber, home, first)
    return start if 0 <= start < load.start else None


def _starts(problem: Problem, draft: Draft, load: Load) -> list[int]:
    """Moments before its own at which a load could start: the soonest, between steps and others' touches."""
    first, own = _first(problem, draft, load), _moments(problem, load)
    others = (other for other in draft.loads if other is not load)
    touched = [
        (at, at + problem.chambers[one.chamber].touch) for one in others for at in _moments(problem, one)
    ]
    beside = {problem.scale.up(end - at + load.start) for _, end in touched for at in own}
    soon = (first + n * problem.scale.grid for n in range(SOON))
    windows = [window.start for window in problem.windows]
    steps = [step.end for step in draft.steps]
    could = sorted({t for t in (*soon, *beside, *windows, *steps) if first <= t < load.start})
    return [t for t in could if not _meets(problem, load, t - load.start, touched)]


def _meets(problem: Problem, load: Load, by: int, touched: list[Stretch]) -> bool:
    """Whether a touch of the load, so much later, would lie upon one of those of others."""
    touch = problem.chambers[load.chamber].touch
    own = [at + by for at in _moments(problem, load)]
    return any(at < end and start < at + touch for at in own for start, end in touched)


def _moments(problem: Problem, load: Load) -> list[int]:
    """When a load is touched."""
    heats = sorted({problem.jobs[index].heat for index in load.members})
    return [load.start + at for at in offsets(heats, problem.chambers[load.chamber].turn_every)]


def _first(problem: Problem, draft: Draft, load: Load) -> int:
    """From when it may start in its stretch at home: its reels known, its chamber free of those before."""
    home = problem.homes[home_of(problem, load.start)]
    facts = problem.chambers[load.chamber]
    first = max([home.first, facts.busy_until, *(_known(problem, draft, index) for index in load.members)])
    for other in draft.loads:
        if other.chamber == load.chamber and other.start < load.start:
            heat = max(problem.jobs[index].heat for index in other.members)
            first = max(first, other.start + heat + facts.touch)
    return problem.scale.up(first)


def _known(problem: Problem, draft: Draft, index: int) -> int:
    """From when a reel may be loaded: at hand, and looked at."""
    job = problem.jobs[index]
    if not job.look:
        return job.ready
    ends = [s.end for s in draft.steps if s.job == index and s.kind == "identify"]
    known = max(ends, default=0)
    if job.assumed:
        known = next((w.over for w in problem.windows if w.start <= known <= w.end), known)
    return max(job.ready, known)
