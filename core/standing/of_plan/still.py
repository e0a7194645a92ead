"""May this step of a plan still be done? One answer for paper, calendar, run sheet, chart and keeping a plan.

What was learnt after a plan was made counts at once: a step that the shelf forbids now is struck out wherever
the plan is shown, with the reason, until it is planned again.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime

from core.conditioning.advisor import advice_of, barred, heat_of
from core.conditioning.alarms import not_to_be_in, out_now, rests_until
from core.conditioning.hours_had import too_early
from core.conditioning.lies_off import off_since
from core.plan import Item, Plan
from core.reels.assumed import as_known
from core.reels.needs import stays_closed
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.of_plan.rests_on import (
    broken_off,
    in_vain,
    left_behind,
    unlined,
    unseen,
    unwarmed,
    warmed_since,
)
from core.standing.of_plan.struck import Struck, was_done


def struck(shelf: Shelf, plan: Plan, at: datetime, *, anew: bool = False) -> tuple[Struck, ...]:
    """Every reel in a step of the plan that must not be done with it any more, in order of time.

    Behind them the line-ups on which nothing is left to play. ``anew``: a load that is off since it was
    broken off may begin once more at any moment, but for what had its hours in it.
    """
    out = [Struck(item, key, why) for item in plan.items for key, why in struck_in(shelf, item, at).items()]
    there = {(id(one.item), one.reel) for one in out}
    behind = tuple(left_behind(shelf, plan))
    behind += tuple(broken_off(shelf, plan, anew=anew))
    cold = (*behind, *(one for one in out if one.item.kind == "condition"))
    resting = (*warmed_since(shelf, plan), *behind, *unwarmed(shelf, plan, at, cold), *unseen(shelf, plan))
    out += [one for one in resting if (id(one.item), one.reel) not in there]
    out += unlined(shelf, plan, {id(one.item) for one in out if one.item.kind in ("align", "transfer")})
    gone = {id(one.item) for one in out if left_of(one.item, {one.reel: one.why}) is None}
    out.sort(key=lambda one: one.item.start)
    return (*out, *in_vain(shelf, plan, gone)) if gone else tuple(out)


def struck_in(shelf: Shelf, item: Item, at: datetime) -> dict[str, str]:
    """By reel, why this step must not be done with it any more; empty for a step that may be done.

    A line-up is struck with the calibration reel that it names; what was done is struck no more.
    """
    keys = item.reels or ((item.calibration,) if item.calibration else ())
    return {key: why for key in keys if (why := not_any_more(shelf, item, key, at)) is not None}


def left_of(item: Item, why: Mapping[str, str]) -> Item | None:
    """The step without the reels that are struck out of it; None where nothing of it is left.

    A load without one of its reels comes to an end when the last that stays is out; a touch at which only
    that one came out is a turn for the others, where the chamber is to be turned then.
    """
    if not why:
        return item
    members = tuple(member for member in item.members if member.reel not in why)
    if not members:
        return None
    last, outs = max(member.out for member in members), {member.out for member in members}
    plain = {(touch.start - item.start) for touch in item.touches if touch.do == "turn"}
    every = min(plain, default=None)
    touches = []
    for touch in item.touches:
        if touch.do == "take out" and touch.start not in outs:
            if touch.start > last or every is None or (touch.start - item.start) % every:
                continue
            touch = replace(touch, do="turn")
        if touch.start <= last:
            touches.append(touch)
    return replace(item, end=min(item.end, last), members=members, touches=tuple(touches))


def left_of_plan(
    shelf: Shelf, plan: Plan, now: datetime | None = None, *, anew: bool = False
) -> tuple[Plan, tuple[Struck, ...]]:
    """The plan without what must not be done any more, and everything that was struck out of it.

    ``now`` is the moment before which nothing of it is done any more; without it, the plan's own start.
    ``anew`` is for the evening at hand, which lays a load that is off from now on: it may begin once more.
    """
    at = max(plan.start, now).replace(second=0, microsecond=0) if now is not None else plan.start
    for known, of, when, begins, left in tuple(_lately):  # a search may ask meanwhile
        if known is shelf and of is plan and when == at and begins == anew:
            return left
    left = _left_of_plan(shelf, plan, at, anew=anew)
    _lately.append((shelf, plan, at, anew, left))
    return left


#: The last few answers: a sheet asks of the plan as it begins and of its own evening in turn.
_lately: deque[tuple[Shelf, Plan, datetime, bool, tuple[Plan, tuple[Struck, ...]]]] = deque(maxlen=8)


def _left_of_plan(shelf: Shelf, plan: Plan, at: datetime, *, anew: bool) -> tuple[Plan, tuple[Struck, ...]]:
    out = struck(shelf, plan, at, anew=anew)
    if not out:
        return plan, ()
    why: dict[int, dict[str, str]] = {}
    for one in out:
        why.setdefault(id(one.item), {})[one.reel] = one.why
    left = (left_of(item, why.get(id(item), {})) for item in plan.items)
    return replace(plan, items=tuple(item for item in left if item is not None)), out


def struck_words(out: Iterable[Struck], *, some_left: bool = False) -> str:
    """What was struck out of a step and why, in one line; ``some_left``: the step is done without those."""
    told: dict[str, list[str]] = {}
    for key, why in {one.reel: one.why for one in out}.items():
        told.setdefault(why, []).append(key)
    named = "; ".join(f"{', '.join(keys)}: {why}" if all(keys) else why for why, keys in told.items())
    return f"without {named}" if some_left else f"struck out, {named}"


def not_any_more(shelf: Shelf, item: Item, key: str, at: datetime) -> str | None:
    """Why that step must not be done any more with that reel; None if it may, or was done."""
    reel = shelf.reels.get(key)
    if reel is None:
        return "not on the shelf any more"
    if was_done(reel, item):
        return None
    if _ran_when_planned(item) and reel.chamber != item.chamber:
        return off_since(shelf, key) or f"out of {item.chamber} already"
    return None if _only_comes_out(item, key) else next(_against(shelf, reel, item, at), None)


def _ran_when_planned(item: Item) -> bool:
    """True for a load that ran when its plan was made: nothing goes in any more, reels only come out."""
    return bool(item.touches) and all(touch.do != "load" for touch in item.touches)


def _only_comes_out(item: Item, key: str) -> bool:
    """True for a reel that the next touch of a running load takes out: that may always be done."""
    first = item.touches[0] if item.touches else None
    if first is None or first.do != "take out":
        return False
    return any(one.reel == key and one.out == first.start for one in item.members)


def _needs_none(shelf: Shelf, reel: Reel, item: Item) -> str | None:
    """Why that reel is not warmed without a reason of the owner's, which no plan has; None for one inside."""
    if reel.chamber or reel.past("conditioned"):  # what was warmed since is told apart
        return None
    if advice_of(shelf, reel, item.start).word not in ("play", "test first"):
        return None
    return heat_of(shelf, reel, item.start).asks


def _called_out(shelf: Shelf, reel: Reel, item: Item, at: datetime) -> str | None:
    """Why it must come out of the heat now; one that had its hours in too hot a chamber was treated."""
    wrong = not_to_be_in(shelf).get(reel.key)
    if wrong is None and (item.kind == "condition" or too_early(shelf, reel, at)):
        wrong = out_now(shelf).get(reel.key)
    return wrong


def _against(shelf: Shelf, reel: Reel, item: Item, at: datetime) -> Iterator[str]:
    captured = reel.past("transferred")  # what was captured may be listened to, whatever became of the tape
    if reel.set_aside and not captured:
        yield f"set aside: {reel.set_aside}"
    if item.kind == "condition" and reel.chamber not in ("", item.chamber) and not reel.calibration:
        yield f"in {reel.chamber}"  # it has its warmth there
    rests = rests_until(shelf, item.chamber) if item.kind == "condition" and not reel.chamber else None
    if rests is not None and item.start < rests:
        when = f"{rests.astimezone(item.start.tzinfo):%a %d %b %H:%M}"
        yield f"{item.chamber} was too hot, and is run empty first: nothing goes in before {when}"
    if item.kind == "condition" and captured and not (reel.chamber or reel.calibration):
        yield "transferred already: it needs no warmth"
    if item.kind == "identify" and stays_closed(reel):
        yield "mould: not opened"
    never = heat_of(shelf, reel, at).never if item.kind == "condition" or reel.chamber else None
    if item.kind == "condition" and never is not None:
        yield never
    # What was let into the heat for a reason is turned, comes out and is played then as what was treated.
    wrong = _called_out(shelf, reel, item, at) if reel.chamber and never is None else None
    if item.kind != "identify" and wrong is not None:
        yield wrong
    let_in = bool(reel.chamber) and never is None
    if item.kind != "identify" and not captured and not let_in:
        why = barred(shelf, as_known(reel, shelf.studio, shelf.own_stocks()), at)  # as the planner asks
        if why is not None:
            yield why
    needless = _needs_none(shelf, reel, item) if item.kind == "condition" and never is None else None
    if needless is not None:
        yield needless
