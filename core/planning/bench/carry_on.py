"""The evening under way carried on: what the kept plan has left for it, one step after another from now on.

What a person does who is late. What finds no room before the evening ends goes to others; all else of the
plan stays where it is. A search begins there, so that no tape of tonight goes far off for want of a search.
The same with looks and verifies behind the tapes, in the first room that there is on any evening.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime
from math import floor

from core.plan import Plan
from core.planning.bench.draft import Draft, Step
from core.planning.bench.follow import draft_of_plan, followed, next_of
from core.planning.facts.problem import Problem
from core.studio.opening import bench_window


def carried_on(problem: Problem, plan: Plan) -> Draft | None:
    """The plan with its steps of the evening under way in order, as soon as they fit; None between two."""
    opened = opened_at(problem)
    if opened is None:
        return None
    tonight = problem.windows[0]
    old, late, ahead = _parted(problem, plan, opened)
    left = tuple(_from_now(tonight.start, list(_with_line_ups(late, ahead))))
    return followed(
        problem, replace(old, steps=left + tuple(ahead)), exact=True, early={tonight.index}
    ).draft()


def tapes_first(problem: Problem, plan: Plan, back: Iterable[tuple[str, str, datetime]] = ()) -> Draft | None:
    """The same with the evening's tapes before its looks and verifies; None between two evenings.

    ``back``: what left it, by kind and reel, is put behind its own tapes again.
    """
    opened = opened_at(problem)
    if opened is None:
        return None
    tonight = problem.windows[0]
    old, late, ahead = _parted(problem, plan, opened)
    here = [step for step in ahead if step.start < tonight.over]
    gone = {(kind, reel) for kind, reel, _ in back}
    here += [s for s in ahead if s not in here and s.job >= 0 and (s.kind, problem.jobs[s.job].key) in gone]
    mine = list(_from_now(tonight.start, [*_with_line_ups(late, ahead), *here]))
    played = {step.job for step in mine if step.kind not in ("identify", "verify") and step.job >= 0}
    behind = [step for step in mine if _at_the_table(problem, step, played)]
    behind.sort(key=lambda step: _how_soon(problem, old, step))
    steps = (*mine, *(step for step in ahead if step not in here))
    laid = replace(old, steps=steps)
    return followed(problem, laid, exact=True, early={tonight.index}, behind=behind).draft()


def opened_at(problem: Problem) -> int | None:
    """The minute, before the plan's start, at which the evening under way began; None between two."""
    span = bench_window(problem.studio, problem.scale.start)
    if span is None or not problem.windows:
        return None
    opened = floor(problem.scale.exact(span.start))
    return opened if opened < 0 and problem.windows[0].start < problem.scale.exact(span.end) else None


def _parted(problem: Problem, plan: Plan, opened: int) -> tuple[Draft, list[Step], list[Step]]:
    """The plan since the evening began; its steps that are late, without tapes to be warmed; those ahead."""
    old = draft_of_plan(problem, plan, since=opened)
    late = [step for step in old.steps if step.start < problem.now and not _to_be_warmed(problem, step)]
    return old, late, [step for step in old.steps if step.start >= problem.now]


def _to_be_warmed(problem: Problem, step: Step) -> bool:
    """True for a step of a tape that must be warmed first: it is no work of an evening under way."""
    return step.kind != "identify" and step.job >= 0 and problem.jobs[step.job].warmth == "must"


def _at_the_table(problem: Problem, step: Step, played: set[int]) -> bool:
    """True for a look or a verify on which nothing of this evening rests."""
    looks = step.kind == "identify" and step.job not in played and not problem.jobs[step.job].calibration
    return looks or step.kind == "verify"


def _how_soon(problem: Problem, old: Draft, step: Step) -> int:
    """Looks whose tape is wanted on the next evening come first, looks for later ones last."""
    if step.kind == "verify":
        return 1
    wanted = next_of(old, step)
    return 0 if len(problem.windows) < 2 or wanted <= problem.windows[1].over else 2


def _with_line_ups(late: list[Step], ahead: list[Step]) -> Iterator[Step]:
    """What is late, each line-up right before the first transfer left behind it, or nothing."""
    aligns: dict[int, Step] = {}
    for step in late:
        if step.kind == "align":
            aligns[step.deck] = step
            continue
        if step.kind == "transfer" and step.deck in aligns:
            yield aligns.pop(step.deck)
        yield step
    for deck, align in aligns.items():
        first = next((step for step in ahead if step.deck == deck and step.kind != "audition"), None)
        if first is not None and first.kind == "transfer":
            yield align


def _from_now(start: int, steps: list[Step]) -> Iterator[Step]:
    """The same steps in the same order, all of them at that minute."""
    for step in steps:
        yield replace(step, start=start, end=start + step.end - step.start)
