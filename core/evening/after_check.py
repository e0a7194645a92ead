"""What becomes of a tape whose check tells that it shed: played again, or warmed first and then played."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from core.conditioning.advisor import heat_of
from core.evening.mark import mark
from core.evening.playing.again import condition_again
from core.shelf import Shelf

Again = Literal["play", "warm"]
AGAIN_STAGE: dict[Again, str] = {"play": "conditioned", "warm": "identified"}
"""The stage that such a tape goes back to: it waits for the deck, or for a chamber first."""


def again_after_check(shelf: Shelf, key: str, how: Again, at: datetime, because: str) -> Shelf:
    """The shelf with that reel back where it waits, so that the next plan holds it.

    Refused where it must never be warmed.
    """
    back = mark(shelf, key, AGAIN_STAGE[how], at, because)
    return condition_again(back, key, None, at) if how == "warm" else back


def not_again(shelf: Shelf, key: str, how: Again, at: datetime) -> str:
    """Why that cannot be; empty where it can."""
    reel = shelf.reel(key)
    if not reel.past("transferred"):
        return f"{key} is {reel.stage}: it waits for its pass already"
    never = heat_of(shelf, reel, at).never if how == "warm" else None
    return never or ""
