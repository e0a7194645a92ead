"""A reel in a step of a plan that must not be done with it any more, and whether a step was done."""

from __future__ import annotations

from collections.abc import Mapping

from core.plan import REACHES, Item, StepKind
from core.reels.reel import Reel, Stage
from core.values import dataclass

#: The stage that a step brings its reel to; a step that is behind it has been done.
OVER_AT: Mapping[StepKind, Stage] = {**REACHES, "repair": "transferred", "audition": "transferred"}
"""The stage at which nothing is left to do of such a step."""


@dataclass(frozen=True, slots=True)
class Struck:
    """A reel in a step that must not be done with it any more, and why; no reel for a whole line-up."""

    item: Item
    reel: str
    why: str


def was_done(reel: Reel, item: Item) -> bool:
    """Whether that step was done with that reel."""
    if item.kind == "condition" and reel.conditioned_at is not None and not reel.chamber:
        return reel.conditioned_at > item.start
    stage = OVER_AT.get(item.kind)
    return stage is not None and item.kind != "condition" and reel.past(stage)
