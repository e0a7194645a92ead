"""What a line-up is made with, and what it is for: reels that play on it, or a later, shorter line-up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from core.clock import evening_of
from core.plan import Item, Plan
from core.shelf import Shelf
from core.standing.still import left_of_plan
from core.studio.setup import blanks
from core.words import day_text, listed


def made_with(align: Item) -> str:
    """By what the deck is lined up: a calibration reel, else the reel's own tones, or as it stands."""
    if align.calibration:
        blank = blanks(dict(align.setup)) if align.setup else []
        return f"with {align.calibration}" + (f", {listed(blank)} only read" if blank else "")
    if align.by == "tones":
        return "no calibration reel fits: by the reel's own tones"
    if align.by == "as it stands":
        return "no calibration reel fits: as it stands"
    return "without a calibration reel"


def what_for(shelf: Shelf, plan: Plan, align: Item) -> str:
    """``for R-003 and R-007``, ``so that Monday's touch-up is enough``; empty where it is for neither.

    What is struck out of the plan by now is played on no line-up.
    """
    plan = left_of_plan(shelf, plan)[0]
    later = sorted(
        (one for one in plan.items if one.deck == align.deck and one.start >= align.end and one is not align),
        key=lambda one: one.start,
    )
    following = next((one for one in later if one.kind == "align"), None)
    over = following.start if following is not None else None
    plays = [one.reel for one in later if one.kind == "transfer" and (over is None or one.start < over)]
    if plays:
        return f"for {listed(list(dict.fromkeys(plays)))}"
    if following is not None and not following.full and following.setup == align.setup:
        return _ahead(align, following, later)
    return ""


def _ahead(align: Item, touched: Item, later: Sequence[Item]) -> str:
    """What a line-up some time before is for; where it sets nothing, no touch-up is spoken of."""
    whose = _whose(align.start, touched.start)
    if align.setup and len(blanks(dict(align.setup))) < 2:
        return f"so that {whose} touch-up is enough"
    over = next((one.start for one in later if one.kind == "align" and one.start > touched.start), None)
    plays = [one for one in later if one.kind == "transfer" and (over is None or one.start < over)]
    reels = listed(list(dict.fromkeys(one.reel for one in plays))) or "what follows"
    return f"ahead, for {reels} in {whose} evening"


def line_up_of(plan: Plan, transfer: Item) -> Item | None:
    """The line-up on which a transfer plays: the last of its deck before it."""
    before = [
        one
        for one in plan.items
        if one.kind == "align" and one.deck == transfer.deck and one.end <= transfer.start
    ]
    return max(before, key=lambda one: one.start, default=None)


def _whose(here: datetime, there: datetime) -> str:
    """``Monday's`` within six days, else ``the Mon 14 Dec``: a date that is read at a glance."""
    days = (evening_of(there) - evening_of(here)).days
    if days == 0:
        return f"the {there:%H:%M}"
    return f"{there:%A}'s" if days < 7 else f"the {day_text(evening_of(there))}"
