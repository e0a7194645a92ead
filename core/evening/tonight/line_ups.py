"""What a line-up is made with and for, and where its deck stands so already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from core.clock import evening_of
from core.evening.tonight.sheet import Step
from core.logbook.steps import deck_stands
from core.plan import Item, Plan
from core.reels.needs import to_look_at
from core.shelf import Shelf
from core.standing.gates import lined_up_since
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

    What is struck out of the plan by now is played on no line-up. It says too where that evening's first look
    at the calibration reel could still be in its way.
    """
    purpose = _purpose(left_of_plan(shelf, plan)[0], align)
    return "; ".join(one for one in (purpose, if_it_is_fit(shelf, plan, align)) if one)


def if_it_is_fit(shelf: Shelf, plan: Plan, align: Item) -> str:
    """That a line-up rests on a calibration reel of which the first look is in the same evening."""
    reel = shelf.reels.get(align.calibration)
    if reel is None or reel.condition or not to_look_at(reel):
        return ""
    looks = (one for one in plan.items if one.kind == "identify" and one.reel == reel.key)
    look = next((one for one in looks if one.end <= align.start), None)
    if look is None or evening_of(look.start) != evening_of(align.start):
        return ""
    return f"provisional: {reel.key} is looked at this evening; if it is not fit, this waits"


def _purpose(plan: Plan, align: Item) -> str:
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


def without_standing(steps: list[Step], shelf: Shelf, now: datetime) -> list[Step]:
    """A line-up is done where its deck stands on that set-up since an earlier one of the same bench window.

    A plan made in mid-evening lines up anew for its own transfers; only the first line-up of a deck can be
    one that stands, since a later one follows another set-up.
    """
    line_ups = sorted((one for one in steps if one.kind == "align"), key=lambda one: one.planned.start)
    first: dict[str, Step] = {}
    for step in line_ups:
        if step.state in ("waiting", "running"):
            first.setdefault(step.subject, step)
    stand = {
        step.key
        for step in first.values()
        if step.state == "waiting" and (_stood(step, line_ups, shelf) or _stands(step, shelf, now))
    }
    made = {step.what for step in line_ups if step.state == "done"}
    return [
        replace(step, state="done") if step.key in stand else step
        for step in steps
        if step.key not in stand or step.what not in made  # told by its own row, at its true time
    ]


def stood_before(step: Step, shelf: Shelf, start: datetime) -> bool:
    """True for a line-up of a plan from ``start`` on whose deck stood so already, in that bench window."""
    stands = deck_stands(shelf).get(step.subject)
    return stands is not None and stands.at <= start and _stands(step, shelf, start)


def _stood(step: Step, line_ups: Sequence[Step], shelf: Shelf) -> bool:
    """True where the deck's last line-up of that evening was this one, whatever came later."""
    done = {
        one.finished: one
        for one in line_ups
        if one.subject == step.subject and one.state == "done" and one.finished is not None
    }
    if not done:
        return False
    last = max(done)
    return done[last].what == step.what and lined_up_since(shelf, last, max(step.planned.start, last))


def _stands(step: Step, shelf: Shelf, now: datetime) -> bool:
    deck, stands = shelf.studio.deck(step.subject), deck_stands(shelf).get(step.subject)
    if deck is None or deck.lined_up is None or stands is None or step.item is None:
        return False
    since = lined_up_since(shelf, stands.at, max(step.planned.start, now))
    return since and deck.lined_up.words() == dict(step.item.setup)
