"""List planning: reels one by one, each entered whole where it ends soonest; never a wrong plan."""

from __future__ import annotations

from core.plan import Kind
from core.planning.bench.diary import FOREVER, Diary, Fit
from core.planning.bench.draft import Draft, Step
from core.planning.bench.enter_loads import enter_load, load_options
from core.planning.bench.enter_transfers import enter_transfer
from core.planning.facts.problem import Job, Problem
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Order:
    """A list of jobs, and how much a minute of line-up counts against a minute of waiting.

    ``late``: a calibration reel is warmed when the first reel that wants it is entered, not before all.
    """

    jobs: tuple[int, ...]
    aversion: float = 0.0
    late: bool = False


def plan_order(problem: Problem, order: Order) -> Draft:
    """The plan that this list makes."""
    diary = Diary(problem)
    prelude(diary, warm=not order.late)
    enter_jobs(diary, order)
    return diary.draft()


def enter_jobs(diary: Diary, order: Order) -> None:
    """Enters the jobs in that order; those that do not fit are left out whole."""
    for index in order.jobs:
        mark = diary.mark()
        if order.late:
            _fit_for(diary, diary.job(index))
        if not enter_job(diary, diary.job(index), order.aversion):
            diary.back(mark)


def prelude(diary: Diary, *, warm: bool = True) -> None:
    """Makes a calibration reel fit for every set-up that has none: identified, warmed where it must be.

    Without ``warm`` those wait that could only be warmed.
    """
    for facts in diary.problem.decks:
        for setup in facts.asked:
            needed = facts.needed(setup)
            if needed and not any(diary.fits[c] for c in needed) and (warm or not _all_warmed(diary, needed)):
                _make_one_fit(diary, needed)


def warms_first(problem: Problem) -> bool:
    """True where some line-up waits for the warming of a calibration reel."""
    diary = Diary(problem)
    every = (facts.needed(setup) for facts in problem.decks for setup in facts.asked)
    return any(needed and _all_warmed(diary, needed) for needed in every)


def _all_warmed(diary: Diary, needed: tuple[int, ...]) -> bool:
    return all(diary.job(c).warmth == "must" for c in needed)


def _fit_for(diary: Diary, job: Job) -> None:
    """Makes a calibration reel fit for each of the reel's set-ups that has none."""
    for part in job.parts:
        for facts, minutes in zip(diary.problem.decks, part.minutes, strict=True):
            needed = facts.needed(part.setup) if minutes is not None else ()
            if needed and not any(diary.fits[c] for c in needed):
                _make_one_fit(diary, needed)


def _make_one_fit(diary: Diary, needed: tuple[int, ...]) -> None:
    best, best_first = -1, FOREVER
    for index in needed:
        mark = diary.mark()
        if make_fit(diary, diary.job(index)) and diary.fits[index][-1].first < best_first:
            best, best_first = index, diary.fits[index][-1].first
        diary.back(mark)
    if best >= 0:
        make_fit(diary, diary.job(best))


def make_fit(diary: Diary, job: Job) -> bool:
    """Identifies and warms a calibration reel as soon as can be."""
    known = enter_desk(diary, job, "identify", job.identify, job.look_from)
    if known < 0:
        return False
    if job.warmth == "must":
        option = next(load_options(diary, job, max(diary.after_look(job, known), job.ready)), None)
        if option is None:
            return False
        enter_load(diary, job, option)
        return True
    last = FOREVER if job.lapse is None else job.lapse
    diary.fits[job.index] = [Fit(max(known, job.ready), last)]
    diary.journal.append(lambda: diary.fits.__setitem__(job.index, []))
    return True


def enter_desk(diary: Diary, job: Job, kind: Kind, minutes: int, first: int) -> int:
    """Enters identify, repair or verify where it ends soonest; its end, ``first`` if not needed, or -1."""
    if not minutes and kind != "verify" and not (kind == "identify" and job.look):
        return first
    for window in diary.problem.windows:
        if window.end < first + minutes or diary.free[window.index] < minutes:
            continue
        start = diary.gap(window.index, max(first, window.start), minutes, ((window.start, window.end),))
        if start >= 0:
            diary.enter_step(Step(kind, start, start + minutes, job.index), window.index)
            return start + minutes
    return -1


def enter_audition(diary: Diary, job: Job, first: int) -> int:
    """Enters a first hearing on any deck of its width, in loud time."""
    if not job.audition:
        return first
    for window in diary.problem.windows:
        if window.end < first + job.audition:
            continue
        for deck in job.audition_decks:
            runs = diary.problem.hearing_runs[window.index]
            start = diary.gap(window.index, max(first, window.start), job.audition, runs)
            if start >= 0:
                diary.enter_step(Step("audition", start, start + job.audition, job.index, deck), window.index)
                return start + job.audition
    return -1


def enter_job(diary: Diary, job: Job, aversion: float) -> bool:
    """Enters all that is left of a reel; False where it does not fit, with the diary left as it fell."""
    known = enter_desk(diary, job, "identify", job.identify, job.look_from)
    if known < 0:
        return False
    known = diary.after_look(job, known)
    if not job.parts and job.ends:
        return enter_desk(diary, job, "verify", job.verify, max(known, job.ready)) >= 0
    ready = max(known, job.ready)
    if job.warmth != "must":
        mark = diary.mark()
        end = _play(diary, job, ready, job.lapse, aversion)
        if end >= 0:
            return _verify(diary, job, end)
        diary.back(mark)
        if job.warmth == "no":
            return False
    return _warmed(diary, job, ready, aversion)


def _warmed(diary: Diary, job: Job, first: int, aversion: float) -> bool:
    """Enters a load, and what comes after it within playable days; tries later loads where that fails."""
    needed = first
    for _ in range(24):
        option = next((o for o in load_options(diary, job, needed) if o.out >= needed + job.heat), None)
        if option is None:
            return False
        mark = diary.mark()
        enter_load(diary, job, option)
        cool = option.out + job.cool
        lapse = option.out + job.playable
        end = _play(diary, job, cool, None, aversion)
        if end < 0:
            return False
        if end <= lapse:
            return _verify(diary, job, end)
        diary.back(mark)
        needed = max(option.start + diary.problem.scale.grid, end - job.playable - job.heat)
    return False


def _play(diary: Diary, job: Job, first: int, lapse: int | None, aversion: float) -> int:
    """Repair, first hearing and every transfer; the end of the last, or -1."""
    t = enter_desk(diary, job, "repair", job.repair, first)
    if t < 0:
        return -1
    t = enter_audition(diary, job, t)
    if t < 0 or not job.ends:
        return t
    end = t
    for part in range(len(job.parts)):
        done = enter_transfer(diary, job, part, t, lapse, aversion)
        if done < 0:
            return -1
        end = max(end, done)
    return end


def _verify(diary: Diary, job: Job, end: int) -> bool:
    return not job.ends or enter_desk(diary, job, "verify", job.verify, end) >= 0
