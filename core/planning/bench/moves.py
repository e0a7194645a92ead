"""What a new plan moves of the one before it, what that costs, and in words what moved and why."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from core.planning.bench.draft import Draft
from core.planning.facts.problem import Problem
from core.words import day_text

SOON = 7 * 1440  # minutes in which a move counts whole
LATER = Fraction(1, 10)

Key = tuple[int, str, int]
WORDS = {"load": "warming"}
_TWINS = {"transfer": "verify", "verify": "transfer"}


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
    """A sentence for every item that moved, a verify together with its transfer.

    ``fitting``: the kept plan as far as it still fits.
    """
    old, still, now = starts_of(kept), starts_of(fitting), starts_of(draft)
    moved = {key: start for key, start in old.items() if now.get(key) != start}
    out = []
    for key, start in sorted(moved.items(), key=lambda pair: (pair[1], pair[0])):
        index, kind, part = key
        twin = (index, _TWINS.get(kind, ""), part)
        both = twin in moved and (twin in now) == (key in now)
        if both and kind == "verify":
            continue
        named = "transfer and verify" if both else WORDS.get(kind, kind)
        why = "it no longer fits there" if still.get(key) != start else "so that songs are ready sooner"
        where = _from_to(problem.scale.moment(start), problem.scale.moment(now[key]) if key in now else None)
        out.append(f"{named} of {problem.jobs[index].key}: {where}, {why}")
    return out


def _from_to(was: datetime, now: datetime | None) -> str:
    """``from Tue 8 Dec 19:40 to 21:05``, the day said once where it is the same."""
    if now is None:
        return f"was on {day_text(was)} {was:%H:%M}, not in this plan"
    other = f"{day_text(now)} " if now.date() != was.date() else ""
    return f"from {day_text(was)} {was:%H:%M} to {other}{now:%H:%M}"
