"""What a line-up is made with and for, and where its deck stands so already.

By the tones at a reel's own head that tape runs for it, so that it waits until it may. Where another tape is
played on it first, the deck is used as it stands for that one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from core.clock import Span, evening_of
from core.conditioning.advisor import advisor
from core.evening.tonight.sheet import Step
from core.logbook.steps import deck_stands
from core.plan import Item, Plan, plan_of
from core.reels.needs import to_look_at
from core.shelf import Shelf
from core.standing.gates import lined_up_since, lines_up
from core.standing.of_plan.still import left_of_plan
from core.standing.uncalibrated import passed_over
from core.studio.setup import blanks
from core.words import day_text, listed


def made_with(shelf: Shelf, plan: Plan | None, align: Item) -> str:
    """By what the deck is lined up: a calibration reel, else the reel's own tones, or as it stands.

    As it stands too where the tape with the tones may not run then.
    """
    if align.calibration:
        blank = blanks(dict(align.setup)) if align.setup else []
        return f"with {align.calibration}" + (f", {listed(blank)} only read" if blank else "")
    if not align.by:
        return "without a calibration reel"
    left = plan is not None and bool(passed_over(shelf, plan, align))
    return f"{'' if left else 'no calibration reel fits: '}{_without(shelf, plan, align)}"


def _without(shelf: Shelf, plan: Plan | None, align: Item) -> str:
    """How a deck is lined up by no calibration reel."""
    whose, waits = by_whose_tones(shelf, plan, align)
    if align.by == "tones" and (whose or plan is None):
        return "by the reel's own tones"
    return "as it stands" + (f"; {waits}'s own tones once it may run" if waits else "")


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
    plays = [one.reel for one in played_on(plan, align)]
    if plays:
        return f"for {listed(list(dict.fromkeys(plays)))}"
    later = sorted((one for one in plan.items if one.deck == align.deck and one.start >= align.end
                    and one is not align), key=lambda one: one.start)  # fmt: skip
    following = next((one for one in later if one.kind == "align"), None)
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
    return f"ahead, for {reels} {_on(align.start, touched.start)}"


def _on(here: datetime, there: datetime) -> str:
    """``on Monday``, which may be an evening or a whole day at the bench."""
    days = (evening_of(there) - evening_of(here)).days
    if days == 0:
        return f"at {there:%H:%M}"
    return f"on {there:%A}" if days < 7 else f"on {day_text(evening_of(there))}"


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


def without_standing(steps: list[Step], shelf: Shelf, now: datetime) -> tuple[list[Step], tuple[Span, ...]]:
    """A line-up is done where its deck stands on that set-up since an earlier one of the same bench window.

    A plan made in mid-evening lines up anew for its own transfers; only the first line-up of a deck can be
    one that stands, since a later one follows another set-up. With the stretches that so are nobody's work.
    """
    line_ups = sorted((one for one in steps if one.kind == "align"), key=lambda one: one.planned.start)
    first: dict[str, Step] = {}
    for step in line_ups:
        if step.state in ("waiting", "running"):
            first.setdefault(step.subject, step)
    stand = {
        step.key: step.planned
        for step in first.values()
        if step.state == "waiting" and (_stood(step, line_ups, shelf) or _stands(step, shelf, now))
    }
    made = {step.what for step in line_ups if step.state == "done"}
    left = [
        replace(step, state="done") if step.key in stand else step
        for step in steps
        if step.key not in stand or step.what not in made  # told by its own row, at its true time
    ]
    return left, tuple(stand.values())


def stood_before(step: Step, shelf: Shelf, start: datetime) -> bool:
    """True for a line-up whose deck stood so already at that moment, in the line-up's bench window."""
    stands = deck_stands(shelf).get(step.subject)
    if stands is None or stands.at > start or step.item is None:
        return False
    return _stands(step, shelf, start) or made_before(shelf, step.item)


def made_before(shelf: Shelf, align: Item) -> bool:
    """True for a planned line-up as which its deck stood before its time came, in the same bench window."""
    deck, stands = shelf.studio.deck(align.deck), deck_stands(shelf).get(align.deck)
    if deck is None or deck.lined_up is None or stands is None or stands.at > align.start:
        return False
    return lined_up_since(shelf, stands.at, align.start) and deck.lined_up.words() == dict(align.setup)


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


def played_on(plan: Plan, align: Item) -> tuple[Item, ...]:
    """The transfers on that deck from a line-up to the next one, in their order."""
    later = sorted(
        (one for one in plan.items if one.deck == align.deck and one.start >= align.end and one is not align),
        key=lambda one: one.start,
    )
    over = next((one.start for one in later if one.kind == "align"), None)
    return tuple(one for one in later if one.kind == "transfer" and (over is None or one.start < over))


def by_whose_tones(shelf: Shelf, plan: Plan | None, align: Item) -> tuple[str, str]:
    """The reel by whose tones that planned line-up can be made, and the one whose tones wait; empty for none.

    What is struck out of the plan by now is played on no line-up.
    """
    if plan is None or align.by != "tones":
        return "", ""
    left = left_of_plan(shelf, plan)[0]
    keys = [one.reel for one in played_on(left, align) if _has_tones(shelf, one.reel)]
    ready = (key for key in keys if not _waits(shelf, left, key, align.start))
    return next(ready, ""), keys[0] if keys else ""


def tones_not_now(shelf: Shelf, align: Item, at: datetime) -> str | None:
    """Why a line-up does not begin by own tones: the tape that it is for may not run; None where one may.

    Where another tape is played first, or the plan has it while that tape
    cools, it is made as the deck stands.
    """
    kept = shelf.of_kind("plan").get("kept")
    if kept is None or align.by != "tones":
        return None
    plan = plan_of(kept, shelf.studio.zone)
    plays = [one.reel for one in played_on(left_of_plan(shelf, plan)[0], align)]
    if not plays or not _has_tones(shelf, plays[0]) or not by_whose_tones(shelf, plan, align)[0]:
        return None
    why = [lines_up(shelf, key, at) for key in plays if _has_tones(shelf, key)]
    return None if None in why else f"by its own tones {plays[0]} may not be played: {why[0]}"


def _has_tones(shelf: Shelf, key: str) -> bool:
    return key in shelf.reels and bool(shelf.reels[key].tones.strip())


def _waits(shelf: Shelf, plan: Plan, key: str, at: datetime) -> bool:
    """Whether a planned tape is still in the heat or cools at that moment of the plan."""
    heats = [one.cool_until for item in plan.items for one in item.members if one.reel == key]
    cools = max(heats, default=None) or advisor(shelf).cools_until(shelf.reels[key], at)
    return cools is not None and cools > at
