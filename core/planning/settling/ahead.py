"""A line-up that an earlier evening must make is made on the last one that has work and room for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from core.planning.bench.calibration import fits
from core.planning.bench.diary import Diary, Fit
from core.planning.bench.draft import Draft, Step, make_draft
from core.planning.bench.enter_transfers import MISSING, calibrated
from core.planning.bench.fill import diary_of
from core.planning.facts.problem import Problem
from core.planning.settling.early import early


def ahead_late(problem: Problem, draft: Draft) -> Draft:
    """The draft with full line-ups on which a later touch-up rests as few evenings before it as is free.

    Between the two the deck does nothing. No evening is begun for it.
    """
    for align, touch in list(_ahead(draft)):
        later = _later(problem, draft, align, touch)
        draft = next((new for one in later if (new := early(problem, one, draft)) is not None), draft)
    return draft


def _ahead(draft: Draft) -> Iterator[tuple[Step, Step]]:
    """Full line-ups behind which their deck does nothing before a touch-up, each with that."""
    for place, step in enumerate(draft.steps):
        if step.kind == "align" and step.full:
            behind = next((s for s in draft.steps[place + 1 :] if s.deck == step.deck), None)
            if behind is not None and behind.kind == "align" and not behind.full:
                yield step, behind


def _later(problem: Problem, draft: Draft, align: Step, touch: Step) -> Iterator[Draft]:
    """The draft with that line-up on each later evening before the touch-up's, the last first."""
    rest = Draft(tuple(step for step in draft.steps if step != align), draft.loads)
    diary, minutes = diary_of(problem, rest), align.end - align.start
    for job in problem.jobs:
        if job.calibration:
            diary.fits[job.index] = [Fit(first, last) for first, last in fits(problem, rest, job)]
    used = {diary.window_at(step.start) for step in rest.steps}
    between = range(diary.window_at(touch.start) - 1, diary.window_at(align.start), -1)
    for window in (index for index in between if index in used):
        start = _free(diary, align, window, minutes)
        if start >= 0:
            moved = replace(align, start=start, end=start + minutes)
            yield make_draft([*rest.steps, moved], list(rest.loads))


def _free(diary: Diary, align: Step, window: int, minutes: int) -> int:
    """The last moment of that evening at which it can be made; -1 for none."""
    facts, edges = diary.problem.decks[align.deck], diary.problem.windows[window]
    for start in range(edges.end - minutes, edges.start - 1, -diary.problem.scale.grid):
        free = diary.gap(window, start, minutes, facts.full_runs[window], start + minutes) == start
        if free and calibrated(diary, facts, align.setup, start, start + minutes) != MISSING:
            return start
    return -1
