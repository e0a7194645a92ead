"""A reel in a step of a plan that must not be done with it any more, and whether a step was done."""

from __future__ import annotations

from core.plan import Item
from core.reels.reel import Reel
from core.values import dataclass

#: The stage that a step brings its reel to; a step that is behind it has been done.
REACHES = {
    "identify": "identified",
    "condition": "conditioned",
    "repair": "transferred",
    "audition": "transferred",
    "transfer": "transferred",
    "verify": "verified",
}


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
    stage = REACHES.get(item.kind)
    return stage is not None and item.kind != "condition" and reel.past(stage)
