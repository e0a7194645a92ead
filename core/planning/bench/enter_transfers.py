"""Entering transfers: which deck, which evening, behind which line-up, with which calibration reel."""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from core.planning.bench.diary import FOREVER, Diary
from core.planning.bench.draft import Step
from core.planning.bench.enter_loads import enter_load, load_options
from core.planning.facts.problem import DeckFacts, Job
from core.values import dataclass

NONE_NEEDED = -1
MISSING = -2
TRIES = 12


@dataclass(frozen=True, slots=True)
class Place:
    """Where a transfer fits: its window and start, and the line-ups it wants first (window, step)."""

    window: int
    deck: int
    start: int
    end: int
    line_ups: tuple[tuple[int, Step], ...] = ()

    @property
    def align_minutes(self) -> int:
        """Minutes of line-up that it costs."""
        return sum(step.end - step.start for _, step in self.line_ups)


def enter_transfer(diary: Diary, job: Job, part: int, first: int, last: int | None, aversion: float) -> int:
    """Enters the transfer where it ends soonest, line-ups weighed by ``aversion``; its end, or -1."""
    for _ in range(TRIES):
        place = find_place(diary, job, part, first, last, aversion)
        if place is None:
            return -1
        if _enter_line_ups(diary, place):
            step = Step("transfer", place.start, place.end, job.index, place.deck, part)
            diary.enter_step(step, place.window)
            return place.end
        first = diary.problem.windows[place.window].end
    return -1


def _enter_line_ups(diary: Diary, place: Place) -> bool:
    """The line-ups of a place; False, with nothing entered, where no calibration reel can be made fit.

    A load for a calibration reel may touch what the place was to take, so that is looked at again.
    """
    mark = diary.mark()
    for window, step in place.line_ups:
        if step.calibration == MISSING:
            step = _with_calibration(diary, step)
        if step.calibration == MISSING or not _free(diary, window, step.start, step.end):
            diary.back(mark)
            return False
        diary.enter_step(step, window)
    if not _free(diary, place.window, place.start, place.end):
        diary.back(mark)
        return False
    return True


def _free(diary: Diary, window: int, start: int, end: int) -> bool:
    return diary.gap(window, start, end - start, ((start, end),)) == start


def find_place(
    diary: Diary, job: Job, part: int, first: int, last: int | None, aversion: float
) -> Place | None:
    """The best place for one transfer of a reel that is at hand from ``first`` on."""
    what = job.parts[part]
    limit = FOREVER if last is None else last
    best: Place | None = None
    cost = (float("inf"), FOREVER)
    counted = diary.problem.comfort.counted
    windows = diary.problem.windows
    decks = [
        (d, one)
        for d, one in enumerate(what.minutes)
        if one is not None and _can_line_up(diary, d, what.setup)
    ]
    if not decks:
        return None
    shortest = min(minutes for _, minutes in decks)
    for window in windows[bisect_left(diary.last_minutes, first + shortest) :]:
        if diary.free[window.index] < shortest:
            continue
        if job.windows is not None and window.index not in job.windows:
            continue
        if window.start + shortest > min(limit, cost[0]):
            break
        for deck, minutes in decks:
            for place in _places(diary, what.setup, minutes, deck, window.index, first):
                weighed = (counted(place.end) + aversion * place.align_minutes, place.end)
                if place.end <= limit and weighed < cost:
                    best, cost = place, weighed
    return best


def _can_line_up(diary: Diary, deck: int, setup: int) -> bool:
    """True unless such a line-up asks for a calibration reel and none is ever fit."""
    needed = diary.problem.decks[deck].needed(setup)
    return not needed or any(diary.fits[c] for c in needed)


def _places(diary: Diary, setup: int, minutes: int, deck: int, window: int, first: int) -> list[Place]:
    facts = diary.problem.decks[deck]
    runs = facts.runs[window]
    if not runs:
        return []
    out: list[Place] = []
    edges = diary.problem.windows[window]
    aligns = diary.aligns[deck]
    here = aligns[bisect_left(aligns, edges.start, key=_start) : bisect_right(aligns, edges.end, key=_start)]
    for place, align in enumerate(here):
        if align.setup == setup:
            stop = here[place + 1].start if place + 1 < len(here) else FOREVER
            start = diary.gap(window, max(first, align.end), minutes, runs, stop)
            if start >= 0:
                out.append(Place(window, deck, start, start + minutes))
    if not here or here[-1].setup != setup:
        behind = _new_line_up(diary, facts, setup, minutes, deck, window, first)
        if behind is not None:
            out.append(behind)
    return out


def _new_line_up(
    diary: Diary, facts: DeckFacts, setup: int, minutes: int, deck: int, window: int, first: int
) -> Place | None:
    """A line-up after all that the deck does in that window, and the transfer behind it."""
    edges, runs = diary.problem.windows[window], facts.runs[window]
    room = min(diary.free[window], runs[-1][1] - max(runs[0][0], first - facts.full)) - minutes
    if room < min(facts.full, facts.touch_up):
        return None
    aligns = diary.aligns[deck]
    count = bisect_right(aligns, edges.end, key=_start)
    before = aligns[count - 1] if count else None
    later = aligns[count] if count < len(aligns) else None
    if later is not None and not later.full and later.setup != setup:
        return None
    stands = before.setup if before is not None else facts.stands_on
    if stands == setup:
        free_from = _deck_free(diary, deck, window)
        touched = _align(diary, facts, setup, deck, window, free_from, full=False)
        return _behind(diary, facts, minutes, deck, window, first, touched, ())
    for hearings in (True, False) if room >= facts.full and facts.full_runs[window] else ():
        free_from = _deck_free(
            diary, deck, window, hearings=hearings
        )  # the helper may leave before a hearing
        lined = _align(diary, facts, setup, deck, window, free_from, full=True)
        found = _behind(diary, facts, minutes, deck, window, first, lined, ())
        if found is not None:
            return found
    if room < facts.touch_up:
        return None
    return _ahead(diary, facts, setup, minutes, deck, window, first, before)


def _deck_free(diary: Diary, deck: int, window: int, *, hearings: bool = True) -> int:
    """From when the deck may be lined up anew there: behind all that it does, ``hearings`` or not."""
    edges = diary.problem.windows[window]
    steps = diary.decked[deck]
    for step in reversed(steps[: bisect_right(steps, edges.end, key=_start)]):
        if step.start < edges.start:
            break
        if hearings or step.kind != "audition":
            return step.end
    return edges.start


def _start(step: Step) -> int:
    return step.start


def _align(
    diary: Diary, facts: DeckFacts, setup: int, deck: int, window: int, free_from: int, *, full: bool
) -> Step | None:
    minutes = facts.full if full else facts.touch_up
    runs = facts.full_runs[window] if full else facts.runs[window]
    first = free_from
    while runs:
        start = diary.gap(window, first, minutes, runs)
        if start < 0:
            return None
        calibration = calibrated(diary, facts, setup, start, start + minutes)
        if calibration != MISSING or _may_arrange(diary, facts.needed(setup), start):
            return Step("align", start, start + minutes, -1, deck, 0, setup, full, calibration)
        soon = [f.first for c in facts.needed(setup) for f in diary.fits[c] if start < f.first]
        if not soon:
            return None
        first = min(soon)
    return None


def _behind(
    diary: Diary,
    facts: DeckFacts,
    minutes: int,
    deck: int,
    window: int,
    first: int,
    align: Step | None,
    ahead: tuple[tuple[int, Step], ...],
) -> Place | None:
    if align is None:
        return None
    start = diary.gap(window, max(first, align.end), minutes, facts.runs[window])
    if start < 0:
        return None
    return Place(window, deck, start, start + minutes, (*ahead, (window, align)))


def _ahead(
    diary: Diary,
    facts: DeckFacts,
    setup: int,
    minutes: int,
    deck: int,
    window: int,
    first: int,
    before: Step | None,
) -> Place | None:
    """Lines up in full in an earlier window, where that can be done, and touches up in this one."""
    if before is not None and before.start >= diary.problem.windows[window].start:
        return None
    oldest = max(window - 40, diary.window_at(before.start) if before is not None else 0)
    rooms = diary.problem.decks[deck].for_full
    could = list(rooms[bisect_left(rooms, oldest) : bisect_left(rooms, window)])
    could = [earlier for earlier in could if diary.free[earlier] >= facts.full]
    if not could:
        return None
    touched = _align(diary, facts, setup, deck, window, _deck_free(diary, deck, window), full=False)
    place = _behind(diary, facts, minutes, deck, window, first, touched, ())
    if place is None:
        return None
    for earlier in reversed(could):
        lined = _align(diary, facts, setup, deck, earlier, _deck_free(diary, deck, earlier), full=True)
        if lined is not None:
            return Place(window, deck, place.start, place.end, ((earlier, lined), *place.line_ups))
    return None


def calibrated(diary: Diary, facts: DeckFacts, setup: int, start: int, end: int) -> int:
    """A calibration reel for a line-up to that set-up then: a job, NONE_NEEDED, or MISSING."""
    needed = facts.needed(setup)
    for index in needed:
        if any(fit.first <= start and end <= fit.last for fit in diary.fits[index]):
            return index
    return MISSING if needed else NONE_NEEDED


def _may_arrange(diary: Diary, needed: tuple[int, ...], start: int) -> bool:
    """True if a calibration reel that has lapsed by then could be warmed once more in time."""
    for index in needed:
        job, fits = diary.job(index), diary.fits[index]
        if job.warmth != "no" and fits and fits[-1].last < start and not job.look:
            lapsed = max(diary.used.get(index, 0), fits[-1].first)
            if lapsed + job.heat + job.cool <= start:
                return True
    return False


def _with_calibration(diary: Diary, step: Step) -> Step:
    """The line-up with a calibration reel that is warmed again for it, or still MISSING."""
    from dataclasses import replace

    facts = diary.problem.decks[step.deck]
    known = calibrated(diary, facts, step.setup, step.start, step.end)
    if known != MISSING:
        return replace(step, calibration=known)
    for index in facts.needed(step.setup):
        job, fits = diary.job(index), diary.fits[index]
        if job.warmth == "no" or not fits or fits[-1].last >= step.start:
            continue
        lapsed = max(diary.used.get(index, 0), fits[-1].first)
        earliest = max(lapsed, step.end - job.playable - job.heat)
        best = None
        for option in load_options(diary, job, earliest, step.start):
            touch = diary.problem.chambers[option.chamber].touch
            if option.out + max(job.cool, touch) <= step.start:
                best = option
        if best is not None:
            enter_load(diary, job, best)
            return replace(step, calibration=index)
    return step
