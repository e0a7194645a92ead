"""Whether the kept plan still fits the shelf: what it was made from, held against what is there now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from dataclasses import replace
from datetime import datetime

from core.clock import later, minutes_between
from core.conditioning.loads.kept_loads import log_now
from core.logbook.passes import played_of
from core.logbook.steps import slowly_wound
from core.plan import REACHES, Item, Plan
from core.reels.assumed import likely_condition
from core.reels.reel import STAGES, Reel
from core.shelf import Shelf
from core.standing.of_plan.made_from import Facts, facts_of, fitting_too, rested_on, resting_on
from core.standing.of_plan.still import left_of_plan
from core.standing.of_plan.struck import was_done
from core.standing.seen_first import asks_first
from core.tape.where import figure
from core.words import day_text


def why_stale(shelf: Shelf, plan: Plan, then: Mapping[str, object], now: datetime) -> str | None:
    """A sentence on what changed so that the plan does not fit any more; None while it does."""
    return next(_reasons(shelf, plan, then, now), None)


def _reasons(shelf: Shelf, plan: Plan, told: Mapping[str, object], now: datetime) -> Iterator[str]:
    present, then = resting_on(shelf), rested_on(told)
    same_form = present.form == then.form
    for name, words in _ABOUT if same_form else ():
        if getattr(present, name) != getattr(then, name):
            yield f"{words} since this plan was made: plan again"
    for one in left_of_plan(shelf, plan, now)[1]:
        reel = shelf.reels.get(one.reel)
        if not one.reel or (reel is not None and was_done(reel, one.item)):
            continue  # what it was for is told already; what had its hours is behind it
        yield f"{one.reel} must not be done as planned ({one.why}): plan again"
    loads = [(item, key) for item in plan.items if item.kind == "condition" for key in item.reels]
    warmed = {key for _, key in loads}
    to_come = {key for item, key in loads if key in shelf.reels and not was_done(shelf.reels[key], item)}
    granted = _granted(plan)
    for key in then.reels:
        if key not in present.reels:
            yield f"{key} is not on the shelf any more: plan again"
    for key, facts in present.reels.items():
        was = then.reels.get(key)
        if was is not None:
            if facts.still in fitting_too(shelf, key):
                facts = facts._replace(still=was.still)
            known = was.words | granted.get(key, set()) | _likely(shelf, shelf.reels[key], was)
            if _wound_by_work(shelf, shelf.reels[key], was):
                facts = facts._replace(by_work=was.by_work)
            yield from _reel(key, facts, was, known, warmed=key in warmed, same_form=same_form)
        elif not shelf.reels[key].calibration and not shelf.reels[key].past("verified"):
            yield f"{key} came to the shelf after this plan was made: plan again"
    for item in plan.items:
        for key in item.reels or (item.calibration,):
            reel = shelf.reels.get(key)
            if reel is not None:
                yield from _item(shelf, reel, item, now, warmed=key in to_come)
    if same_form and present.seen != then.seen:
        yield "what is to be looked at first is another now: plan again"


_ABOUT = (
    ("studio", "the studio has changed"),
    ("songs", "songs, their priority or what they need have changed"),
    ("segments", "the parts of a tape have changed"),
    ("stocks", "the owner's rows of the stocks table have changed"),
    ("wishes", "the wishes have changed"),
)


def _wound_by_work(shelf: Shelf, reel: Reel, was: Facts) -> bool:
    """True where a pass of several was played, or the tape slowly wound, and only how it lies is otherwise.

    The plan then keeps time for a wind that is not needed.
    """
    ran = any(one.state == "done" for one in played_of(shelf, reel.key))
    if not reel.wind or not (ran or slowly_wound(shelf, reel.key)):
        return False
    return any(facts_of(replace(reel, wind=wind)).by_work == was.by_work for wind in ("", "tails", "heads"))


def _likely(shelf: Shelf, reel: Reel, was: Facts) -> set[str]:
    """What the plan took a tape to be found as that nobody had looked at, also where it has no step of it."""
    return set() if was.words else {likely_condition(reel, shelf.studio, shelf.own_stocks())}


def _granted(plan: Plan) -> dict[str, set[str]]:
    """By reel, the words of a condition that the plan took for granted before anybody had looked."""
    out: dict[str, set[str]] = {}
    for item in plan.items:
        told = [(one.reel, one.assumes) for one in item.members] or [(item.reel, item.assumes)]
        for key, assumes in told:
            words = {one.removeprefix("condition ") for one in assumes if one.startswith("condition ")}
            out.setdefault(key, set()).update(words)
    return out


def _reel(
    key: str, facts: Facts, was: Facts, known: Set[str], *, warmed: bool, same_form: bool
) -> Iterator[str]:
    """``known``: the words of its condition that the plan knew or took for granted."""
    words, before = facts.words, was.words
    if facts.stage == "verified" and was.stage != "verified":
        return  # all that the plan wanted of it is done
    if same_form and facts.still != was.still:
        yield f"{key} is not as it was when this plan was made: plan again"
    elif STAGES.index(facts.stage) < STAGES.index(was.stage) and not (
        warmed and facts.stage == "conditioned"
    ):
        yield f"{key} went back to {facts.stage} after this plan was made: plan again"
    elif facts.joints > was.joints or words - known - {"ok"}:
        yield f"{key} has a trouble that this plan does not know: plan again"
    elif before - words - {"ok", "splices"}:
        gone = ", ".join(sorted(before - words - {"ok", "splices"}))
        yield f"{key} is not {gone} any more: plan again"
    elif same_form and facts.stage == was.stage and facts.by_work != was.by_work and not warmed:
        yield f"{key} is not wound or warmed as it was when this plan was made: plan again"


def _item(shelf: Shelf, reel: Reel, item: Item, now: datetime, *, warmed: bool) -> Iterator[str]:
    kind, start, end = item.kind, item.start, item.end
    asks = None if was_done(reel, item) else asks_first(shelf, reel, item)
    if asks is not None:
        yield f"{asks.partition(':')[0]}: see to it first, or plan again"
    if kind == "condition" and reel.chamber and reel.loaded_at is not None:
        if abs(minutes_between(start, reel.loaded_at)) > figure("plan.load_moved_minutes"):
            yield f"{_moved(shelf, reel)}: plan again"
        return
    if kind == "transfer" and not reel.past("transferred") and reel.playable_until is not None:
        warmed_later = warmed or reel.chamber or reel.conditioned_at is None
        by = end if start > now else now  # one that is late is played now at the soonest
        if not warmed_later and reel.playable_until < by and reel.past("conditioned"):
            yield f"{reel.key} is not playable any more when this plan transfers it: plan again"
    stage = REACHES.get(kind)
    if stage is None or (kind == "condition" and reel.past("conditioned")):
        return
    if not reel.past(stage) and later(end, hours=figure("plan.overdue_hours")) < now:
        yield f"{reel.key} was to be {stage} by {day_text(end)} {end:%H:%M} and is not: plan again"


def _moved(shelf: Shelf, reel: Reel) -> str:
    """Why a load's moments are not those of the plan: it was off on the way, or went in at another time."""
    log = log_now(shelf, reel.chamber, [reel.key])
    if log is not None and log.gaps:
        off = " and ".join(f"from {gap.off:%H:%M} to {gap.on:%H:%M}" for gap in log.gaps)
        return f"chamber {reel.chamber} was off {off}, and its tapes come out later"
    return f"{reel.key} went into chamber {reel.chamber} at another time than planned"
