"""Settling a plan within its evenings: everything as early as it fits, a pause in a long day.

Which evening a thing is done in is the plan's; when in it, where it costs nothing, is the person's. Loads
start early rather than late, nothing waits without need, a deck is lined up right before it plays, and a long
day has a quarter of an hour free in the middle.
"""

from __future__ import annotations

from collections.abc import Callable, Set
from dataclasses import replace
from fractions import Fraction

from core.planning.bench.calibration import fits
from core.planning.bench.diary import Fit
from core.planning.bench.draft import Draft, Load, Step, cost, make_draft
from core.planning.bench.enter_transfers import MISSING, calibrated
from core.planning.bench.fill import diary_of, home_of
from core.planning.bench.follow import Walk
from core.planning.facts.problem import Problem, Stretch, Window

LONG_DAY = 300  # minutes of work from which a day has a pause
PAUSE = 15
STANDS = 60  # minutes for which a deck stands lined up before it is used, at most, where that costs nothing


def settled(problem: Problem, draft: Draft, *, at_once: bool = False) -> Draft:
    """The same plan as early as it can be, evening by evening; never one that costs more.

    ``at_once``: steps alone, which takes as long as one list.
    """
    every = frozenset(window.index for window in problem.windows)
    best = _early(problem, draft, draft, (), every) or draft
    if at_once:
        return best
    for place in range(len(best.loads)):
        best = _load_early(problem, best, place, every)
    best = _in_turn(problem, best, every)
    return _line_ups_late(problem, _with_pauses(problem, best))


def settled_anew(
    problem: Problem, kept: Draft, draft: Draft, no_worse: Callable[[Draft, Draft], bool]
) -> Draft:
    """A draft that begins at a kept plan, with new loads early and no line-up hours before what it is for.

    Steps and loads that are where the kept plan has them stay there; evenings without any are as early as
    they can be. ``no_worse``: asked of a new draft and the one before.
    """
    new = _new_evenings(problem, kept, draft)
    for place, load in enumerate(draft.loads):
        if load not in kept.loads:
            for free in (frozenset[int](), new):
                sooner = _load_early(problem, draft, place, free)
                if sooner != draft and no_worse(sooner, draft):
                    draft = sooner
                    break
    for better in (_early(problem, draft, draft, (), new), _in_turn(problem, draft, new)):
        draft = better if better is not None and no_worse(better, draft) else draft
    late = _line_ups_late(problem, draft)
    return late if no_worse(late, draft) else draft


def _new_evenings(problem: Problem, kept: Draft, draft: Draft) -> frozenset[int]:
    """Evenings that have not begun, and in which nothing is where the kept plan has it."""
    was = {(step.kind, step.job, step.deck, step.part, step.start) for step in kept.steps}
    stay = [s for s in draft.steps if (s.kind, s.job, s.deck, s.part, s.start) in was]
    spans = [(s.start, s.end) for s in stay]
    spans += [(load.start, load.start + _heat(problem, load)) for load in draft.loads if load in kept.loads]
    return frozenset(
        w.index
        for w in problem.windows
        if w.start > 0 and not any(first < w.end and w.start < last for first, last in spans)
    )


def _heat(problem: Problem, load: Load) -> int:
    return max(problem.jobs[index].heat for index in load.members)


def _early(
    problem: Problem, draft: Draft, than: Draft, pauses: tuple[Stretch, ...], free: Set[int]
) -> Draft | None:
    """The draft with everything as early as it fits in the ``free`` windows, all else at its own time.

    None where not all does, or where it costs more.
    """
    walk = Walk(problem, set(), exact=True, early=free)
    for job in problem.jobs:
        if job.calibration:
            walk.diary.fits[job.index] = [Fit(first, last) for first, last in fits(problem, draft, job)]
    for start, end in pauses:
        walk.diary.enter_busy(walk.diary.window_at(start), start, end)
    walk.through(draft)
    new = walk.diary.draft()
    whole = len(new.steps) == len(draft.steps) and _members(new) == _members(draft)
    return new if whole and cost(problem, new) <= cost(problem, than) else None


def _members(draft: Draft) -> list[tuple[int, ...]]:
    return sorted(load.members for load in draft.loads)


def _load_early(problem: Problem, draft: Draft, place: int, free: Set[int]) -> Draft:
    """The draft with that load as early in its stretch at home as costs nothing."""
    load = draft.loads[place]
    for start in _starts(problem, draft, load):
        loads = list(draft.loads)
        loads[place] = replace(load, start=start)
        found = _early(problem, make_draft(list(draft.steps), loads), draft, (), free)
        if found is not None:
            return found
    return draft


def _starts(problem: Problem, draft: Draft, load: Load) -> list[int]:
    """Moments before its own at which a load could start: the soonest, beside another's, at a window's."""
    home = problem.homes[home_of(problem, load.start)]
    facts = problem.chambers[load.chamber]
    first = max([home.first, facts.busy_until, *(_known(problem, draft, index) for index in load.members)])
    for other in draft.loads:
        if other.chamber == load.chamber and other.start < load.start:
            heat = max(problem.jobs[index].heat for index in other.members)
            first = max(first, other.start + heat + facts.touch)
    first = problem.scale.up(first)
    with_others = [problem.scale.up(other.start + facts.touch) for other in draft.loads if other is not load]
    windows = [window.start for window in problem.windows]
    return sorted({t for t in (first, *with_others, *windows) if first <= t < load.start})


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


def _with_pauses(problem: Problem, draft: Draft) -> Draft:
    """The draft with a pause in the middle of every long day where nothing is lost by it."""
    pauses: tuple[Stretch, ...] = ()
    for window in problem.windows:
        pause = _pause(problem, draft, window)
        every = frozenset(one.index for one in problem.windows)
        found = _early(problem, draft, draft, (*pauses, pause), every) if pause is not None else None
        if pause is not None and found is not None:
            draft, pauses = found, (*pauses, pause)
    return draft


def _pause(problem: Problem, draft: Draft, window: Window) -> Stretch | None:
    """Where a pause would lie: at the end of the step nearest to the middle; None where none is wanted."""
    if window.minutes <= LONG_DAY:
        return None
    steps = [step for step in draft.steps if window.start <= step.start and step.end <= window.end]
    if sum(step.end - step.start for step in steps) <= LONG_DAY:
        return None
    middle = Fraction(steps[0].start + max(step.end for step in steps), 2)
    ends = sorted((step.end for step in steps), key=lambda end: (abs(end - middle), end))
    if _free_at(steps, ends[0]):
        return None
    return ends[0], problem.scale.up(ends[0] + PAUSE)


def _free_at(steps: list[Step], moment: int) -> bool:
    """True if nothing begins within a quarter of an hour then."""
    return not any(step.start < moment + PAUSE and step.end > moment for step in steps)


def _line_ups_late(problem: Problem, draft: Draft) -> Draft:
    """The draft with every line-up that would stand for more than an hour right before what it is for."""
    steps = list(draft.steps)
    for place, step in enumerate(draft.steps):
        behind = next((s for s in draft.steps[place + 1 :] if s.deck == step.deck), None)
        waits = behind.start - step.end if behind is not None else 0
        if step.kind != "align" or behind is None or behind.kind != "transfer" or waits <= STANDS:
            continue
        edges = next(w for w in problem.windows if w.start <= step.start <= w.end)
        if behind.start > edges.end:
            continue
        rest = Draft(tuple(other for other in steps if other is not step), draft.loads)
        start = _latest(problem, rest, step, behind.start)
        if start is not None:
            steps[place] = replace(step, start=start, end=start + step.end - step.start)
    return make_draft(steps, list(draft.loads))


def _in_turn(problem: Problem, draft: Draft, free: Set[int]) -> Draft:
    """The draft with every line-up that stands while other work is done put behind that work, where it fits.

    What lies between moves up into its place.
    """
    for step in [one for one in draft.steps if one.kind == "align"]:
        behind = _behind(draft, step)
        between = [s.end for s in draft.steps if behind is not None and step.end <= s.start < behind.start]
        tried = (_moved(problem, draft, step, end, free) for end in sorted(set(between), reverse=True))
        better = [found for found in tried if found is not None]
        draft = min((draft, *better), key=_stands)
    return draft


def _moved(problem: Problem, draft: Draft, step: Step, start: int, free: Set[int]) -> Draft | None:
    """The draft with that line-up behind what is done by ``start``; None where it does not fit."""
    moved = replace(step, start=start, end=start + step.end - step.start)
    steps = [moved if one is step else one for one in draft.steps]
    return _early(problem, make_draft(steps, list(draft.loads)), draft, (), free)


def _behind(draft: Draft, step: Step) -> Step | None:
    """The transfer that a line-up is for, if it is the next thing on its deck."""
    if step not in draft.steps:
        return None
    later = draft.steps[draft.steps.index(step) + 1 :]
    behind = next((s for s in later if s.deck == step.deck), None)
    return behind if behind is not None and behind.kind == "transfer" else None


def _stands(draft: Draft) -> int:
    """Minutes for which decks stand lined up before what they are lined up for."""
    aligns = [step for step in draft.steps if step.kind == "align"]
    return sum(behind.start - step.end for step in aligns if (behind := _behind(draft, step)) is not None)


def _latest(problem: Problem, rest: Draft, step: Step, until: int) -> int | None:
    """The latest start of a line-up that ends by then, beside all else; None where its own is the latest."""
    diary, minutes = diary_of(problem, rest), step.end - step.start
    for job in problem.jobs:
        if job.calibration:
            diary.fits[job.index] = [Fit(first, last) for first, last in fits(problem, rest, job)]
    facts, window = problem.decks[step.deck], diary.window_at(step.start)
    runs = facts.full_runs[window] if step.full else facts.runs[window]
    for start in range(problem.scale.down(until - minutes), step.start, -problem.scale.grid):
        free = diary.gap(window, start, minutes, runs, start + minutes) == start
        if free and calibrated(diary, facts, step.setup, start, start + minutes) != MISSING:
            return start
    return None
