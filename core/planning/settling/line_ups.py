"""A deck is lined up right before it plays, and where no calibration reel serves when its tape may run."""

from __future__ import annotations

from collections.abc import Iterator, Set
from dataclasses import replace

from core.planning.bench.calibration import fits
from core.planning.bench.diary import Fit
from core.planning.bench.draft import Draft, Step, make_draft
from core.planning.bench.enter_transfers import MISSING, calibrated
from core.planning.bench.fill import diary_of
from core.planning.bench.follow import behind_unset
from core.planning.facts.problem import Problem
from core.planning.settling.early import early, too_soon

STANDS = 60  # minutes for which a deck stands lined up before it is used, at most, where that costs nothing


def standing(draft: Draft, minutes: int = STANDS) -> Iterator[tuple[Step, Step]]:
    """Line-ups that stand for longer than that, each with the transfer for which the deck waits.

    One in an earlier evening, on which a touch-up rests, stands for none.
    """
    for place, step in enumerate(draft.steps):
        if step.kind == "align":
            later = (s for s in draft.steps[place + 1 :] if s.deck == step.deck and s.kind != "audition")
            behind = next(later, None)
            if behind is not None and behind.kind == "transfer" and behind.start - step.end > minutes:
                yield step, behind


def brought_together(problem: Problem, draft: Draft, windows: Set[int]) -> Draft:
    """The draft with other work before or behind a line-up and its transfer in place of between the two.

    The evenings of ``windows`` alone are entered again, early; taken where less stands or is over later.
    """
    for align, behind in list(standing(draft, 0)):
        here = {w.index for w in problem.windows if w.start <= align.start and behind.start <= w.end}
        if not here & windows or align not in draft.steps or behind not in draft.steps:
            continue
        between = {s.end for s in draft.steps if align.end <= s.start < behind.start}
        tried = [_put(draft, align, end) for end in sorted(between, reverse=True)]
        tried += [_put(draft, behind, align.start + 1)] if between else []
        found = (early(problem, one, draft, windows=here) for one in tried)
        draft = min((draft, *(one for one in found if one is not None)), key=_needless)
    return draft


def _needless(draft: Draft) -> tuple[int, int]:
    """Minutes for which decks stand lined up, and the moments at which steps are over."""
    stands = sum(behind.start - align.end for align, behind in standing(draft, 0))
    return stands, sum(step.end for step in draft.steps)


def _put(draft: Draft, step: Step, start: int) -> Draft:
    """The draft with that step elsewhere in the order of its evening."""
    steps = [replace(s, start=start, end=start + s.end - s.start) if s is step else s for s in draft.steps]
    return make_draft(steps, list(draft.loads))


def with_their_tapes(problem: Problem, draft: Draft, windows: Set[int]) -> Draft:
    """The draft with line-ups that no calibration reel serves as late as their tape may run, where free.

    One by one, each in its evening of ``windows``: of several in one evening some may have room to wait.
    """
    for align in too_soon(problem, draft, behind_unset(problem, draft)):
        unset = behind_unset(problem, draft)
        here = {w.index for w in problem.windows if w.start <= align.start <= w.end} & windows
        if here and align in unset:
            soon = too_soon(problem, draft, unset)
            wait = {step: job for step, job in unset.items() if step == align or step not in soon}
            draft = early(problem, draft, draft, windows=here, wait=wait) or draft
    return draft


def line_ups_late(problem: Problem, draft: Draft) -> Draft:
    """The draft with every line-up that stands for longer than an hour as late as there is room for it.

    One for which the helper comes, and that would stand as long all the same, is made as soon as they can.
    """
    steps = list(draft.steps)
    for align, behind in standing(draft):
        rest = Draft(tuple(other for other in steps if other is not align), draft.loads)
        start = _latest(problem, rest, align, behind.start)
        helped = align.full and problem.decks[align.deck].deck.setup_needs_helper
        if start is not None and helped and behind.start - start - (align.end - align.start) > STANDS:
            continue
        if start is not None:
            steps[steps.index(align)] = replace(align, start=start, end=start + align.end - align.start)
    return make_draft(steps, list(draft.loads))


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
