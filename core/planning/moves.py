"""What a new plan moves of the one before it, what that costs, and in words what moved and why."""

from __future__ import annotations

from fractions import Fraction

from core.planning.draft import Draft
from core.planning.problem import Problem

SOON = 7 * 1440  # minutes in which a move counts whole
LATER = Fraction(1, 10)

Key = tuple[int, str, int]
WORDS = {"load": "warming"}


def starts_of(draft: Draft) -> dict[Key, int]:
    """When each reel's steps start, and when it goes into a chamber; line-ups follow their reels."""
    out = {(s.job, s.kind, s.part): s.start for s in draft.steps if s.job >= 0}
    for load in draft.loads:
        out |= {(index, "load", 0): load.start for index in load.members}
    return out


def weight(start: int) -> Fraction:
    """How much the move of an item counts that was to start then."""
    return Fraction(1) if start < SOON else LATER


def moved_weight(kept: dict[Key, int], draft: Draft) -> Fraction:
    """The items of the kept plan that are elsewhere or gone, those of the next seven days whole."""
    now = starts_of(draft)
    return sum((weight(start) for key, start in kept.items() if now.get(key) != start), start=Fraction(0))


def moved_soon(kept: dict[Key, int], draft: Draft) -> int:
    """How many items of the next seven days moved."""
    now = starts_of(draft)
    return sum(1 for key, start in kept.items() if start < SOON and now.get(key) != start)


def moved_words(problem: Problem, kept: Draft, fitting: Draft, draft: Draft) -> list[str]:
    """A sentence for every item that moved. ``fitting``: the kept plan as far as it still fits."""
    old, still, now = starts_of(kept), starts_of(fitting), starts_of(draft)
    out = []
    for key, start in sorted(old.items(), key=lambda pair: (pair[1], pair[0])):
        if now.get(key) == start:
            continue
        index, kind, _ = key
        what = f"{WORDS.get(kind, kind)} of {problem.jobs[index].key}"
        was = f"{problem.scale.moment(start):%a %d %b %H:%M}"
        why = "it no longer fits there" if still.get(key) != start else "so that songs are ready sooner"
        if key in now:
            out.append(f"{what}: from {was} to {problem.scale.moment(now[key]):%a %d %b %H:%M}, {why}")
        else:
            out.append(f"{what}: was on {was}, not in this plan, {why}")
    return out
