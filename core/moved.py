"""What a new plan moves, in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from core.plan import Move
from core.words import day_text

_TWINS = {"transfer": "verify", "verify": "transfer"}


def moved_words(told: Sequence[Move]) -> list[str]:
    """A sentence for every move, a verify together with its transfer."""
    by = {(move.reel, move.kind): move for move in told}
    out = []
    for move in told:
        twin = by.get((move.reel, _TWINS.get(move.kind, "")))
        both = twin is not None and [one is None for one in (twin.was, twin.now)] == [
            one is None for one in (move.was, move.now)
        ]
        if both and move.kind == "verify":
            continue
        named = "transfer and verify" if both else move.kind
        out.append(f"{named} of {move.reel}: {_from_to(move.was, move.now)}, {move.why}")
    return out


def _from_to(was: datetime | None, now: datetime | None) -> str:
    """``from Tue 8 Dec 19:40 to 21:05``, the day said once where it is the same."""
    if was is None:
        return f"new on {day_text(now)} {now:%H:%M}" if now is not None else ""
    if now is None:
        return f"was on {day_text(was)} {was:%H:%M}, not in this plan"
    other = f"{day_text(now)} " if now.date() != was.date() else ""
    return f"from {day_text(was)} {was:%H:%M} to {other}{now:%H:%M}"
