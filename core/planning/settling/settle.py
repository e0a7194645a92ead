"""Settling a plan within its evenings: everything as early as it fits, a pause in a long day.

Which evening a thing is done in is the plan's; when in it, where it costs nothing, is the person's. Loads
start early rather than late, nothing waits without need, a deck is lined up right before it plays, and a long
day has a quarter of an hour free in the middle.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import floor

from core.plan import Kind
from core.planning.bench.draft import Draft, Step
from core.planning.facts.problem import Problem, Window
from core.planning.settling.ahead import ahead_late
from core.planning.settling.early import early, every
from core.planning.settling.line_ups import brought_together, line_ups_late, standing, with_their_tapes
from core.planning.settling.loads import NoWorse, loads_early, loads_sooner
from core.planning.settling.pauses import with_pauses

ROUNDS = 2  # of loads put in early and steps brought together, at most: each makes room for the other
WORTH_ALL = 1 << 30  # minutes
IDLE = 60  # minutes by which a step that was told could be sooner in its evening, from which it is


def settled(problem: Problem, draft: Draft, *, at_once: bool = False) -> Draft:
    """The same plan as early as it can be, evening by evening; never one that costs more.

    ``at_once``: steps alone, which takes as long as one list.
    """
    best = early(problem, draft, draft) or draft
    if at_once:
        return best
    best = ahead_late(problem, best)
    for _ in range(ROUNDS):
        before = best.loads
        best = brought_together(problem, loads_early(problem, best), every(problem))
        best = with_their_tapes(problem, best, every(problem))
        if best.loads == before:
            break
    return line_ups_late(problem, with_pauses(problem, best, every(problem)))


def settled_anew(
    problem: Problem,
    kept: Draft,
    draft: Draft,
    no_worse: NoWorse,
    moved: Callable[[Draft], Fraction] = lambda draft: Fraction(0),
) -> Draft:
    """A draft that begins at a kept plan: what was told of stays, unless somebody would wait for nothing.

    New loads go in as early as they fit, and an evening of which nothing was told is settled like one of a
    new plan, and so is one under way in which something moved. So is one in which a step or a load could
    begin an hour sooner, or a deck stands lined up for more than an hour; every other stays to the minute.
    For each tape that moves an hour is won: a hole in an evening is no reason to tell it all anew.
    ``no_worse``: asked of a new draft and the one before; ``moved``: what is not where it was told of.
    """

    def worth(new: Draft, than: Draft, won: int) -> bool:
        more = floor(moved(new) - moved(than))  # a tape with its verify is one
        return (more <= 0 or won >= IDLE * more) and no_worse(new, than)

    draft = _lined_up_late(problem, loads_sooner(problem, kept, draft, worth), no_worse)
    for window in problem.windows:
        found = _evening_anew(problem, draft, window, told=_told(kept, draft, window))
        if found is not None and worth(found, draft, _won(draft, found, window)):
            draft = found
    return _lined_up_late(problem, draft, no_worse)


def _lined_up_late(problem: Problem, draft: Draft, no_worse: NoWorse) -> Draft:
    """The draft with line-ups late, which moves nothing that anybody was told of."""
    late = line_ups_late(problem, draft)
    return late if late != draft and no_worse(late, draft) else draft


def _won(draft: Draft, found: Draft, window: Window) -> int:
    """Minutes in which nobody waits any more; where a deck stands lined up no more, it is worth all moves.

    It drifts while it stands, and that an evening was told of is no reason to let it.
    """
    fewer = len(_stand(draft, window)) - len(_stand(found, window))
    return WORTH_ALL if fewer > 0 else _idle(draft, window) - _idle(found, window)


def _stand(draft: Draft, window: Window) -> list[Step]:
    steps = _within(draft, window)
    return [align for align, _ in standing(draft) if align in steps]


def _idle(draft: Draft, window: Window) -> int:
    """Minutes of that evening in which nothing is done, before its last step is over."""
    steps = _within(draft, window)
    over = max((step.end for step in steps), default=window.start)
    return over - window.start - sum(step.end - step.start for step in steps)


def _told(kept: Draft, draft: Draft, window: Window) -> bool:
    """Whether something in that evening is where the kept plan has it; in one that has begun, everything."""
    was = {(step.kind, step.job, step.deck, step.part, step.start) for step in kept.steps}
    still = [(s.kind, s.job, s.deck, s.part, s.start) in was for s in _within(draft, window)]
    return all(still) if window.start <= 0 else any(still)


def _within(draft: Draft, window: Window) -> list[Step]:
    return [step for step in draft.steps if window.start <= step.start <= window.end]


def _evening_anew(problem: Problem, draft: Draft, window: Window, *, told: bool) -> Draft | None:
    """The draft with that evening settled, where somebody waits in it for nothing; None where nobody does."""
    least = IDLE if told else 1
    here = frozenset((window.index,))
    found = early(problem, draft, draft, windows=here) if _waits(draft, window, least) else None
    sooner = found is not None and _sooner(draft, found) >= least
    stands = any(align in _within(draft, window) for align, _ in standing(draft, least))
    if not sooner and not stands:
        return None
    together = brought_together(problem, found if sooner and found is not None else draft, here)
    return with_pauses(problem, together, here)


def _waits(draft: Draft, window: Window, least: int) -> bool:
    """Whether so many minutes of that evening are free before work in it."""
    at = window.start
    for step in _within(draft, window):
        if step.start - at >= least:
            return True
        at = step.end
    return False


def _sooner(draft: Draft, found: Draft) -> int:
    """By how much the step that gains most is sooner."""
    was: dict[tuple[Kind, int, int, str], int] = {
        (s.kind, s.job, s.part, s.reel): s.start for s in draft.steps if s.kind != "align"
    }
    gains = (was.get((s.kind, s.job, s.part, s.reel), s.start) - s.start for s in found.steps)
    return max(gains, default=0)
