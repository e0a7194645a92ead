"""Steps of a plan that rest on others: what plays rests on warmth, a line-up on what is to play on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from datetime import datetime

from core.clock import evening_of
from core.conditioning.advisor import advisor
from core.conditioning.hours_had import short_hours
from core.conditioning.lies_off import off_since
from core.conditioning.loads.began import begun_with_some, broken_off_of
from core.conditioning.loads.kept_loads import load_of, loads_of
from core.logbook.running import running
from core.logbook.steps import deck_stands
from core.plan import Item, Plan
from core.reels.assumed import likely
from core.reels.needs import inspect_first, needs_conditioning, playable, playable_until
from core.reels.reel import STAGES, Reel
from core.shelf import Shelf
from core.standing.of_plan.made_from import rested_on
from core.standing.of_plan.struck import Struck, was_done
from core.words import day_text


def left_behind(shelf: Shelf, plan: Plan) -> Iterator[Struck]:
    """Reels of a load that began without them, or out of which they came too early: it runs, or is over."""
    loads = loads_of(shelf)
    for item in (one for one in plan.items if one.kind == "condition"):
        mine = [shelf.reels[key] for key in item.reels if key in shelf.reels]
        inside = next((reel for reel in mine if reel.chamber == item.chamber), None)
        log = loads.get(load_of(shelf, inside) or "") if inside is not None else None
        outs = [log.planned_out(one) for one in log.members if one.out is None] if log is not None else []
        if any(out is not None and out < item.start for out in outs):
            continue  # another load, before it
        log = log or begun_with_some(shelf, item.chamber, item.reels, item.start)
        if log is None:
            continue
        for reel in mine:
            if reel.chamber or was_done(reel, item):
                continue
            went_in = log.member(reel.key) is not None
            why = f"out of {item.chamber} already" if went_in else f"{item.chamber} was loaded without it"
            yield Struck(item, reel.key, off_since(shelf, reel.key) or why)


def broken_off(shelf: Shelf, plan: Plan, *, anew: bool = False) -> Iterator[Struck]:
    """Reels of a load that is off: nothing of it is turned or comes out as planned, until it goes on.

    ``anew``: where it may begin once more, only those that had their hours in it do not go in again.
    """
    for item in (one for one in plan.items if one.kind == "condition"):
        log = broken_off_of(shelf, item.chamber, item.reels, item.start)
        if log is None or log.broken_off is None:
            continue
        told = f"broken off {day_text(log.broken_off.date())} {log.broken_off:%H:%M}"
        for key in item.reels:
            reel = shelf.reels.get(key)
            if reel is None or reel.chamber:
                continue
            if not anew:
                yield Struck(item, key, told)
            elif was_done(reel, item):
                yield Struck(item, key, "it had its hours")


STICKY = "sticky, and this plan does not warm it"


def unwarmed(shelf: Shelf, plan: Plan, now: datetime, behind: Iterable[Struck] = ()) -> Iterator[Struck]:
    """Steps that would play or mend a tape that is to be warmed first, where nothing before them warms it.

    What is played must be playable to its end, and what is late is not played before ``now``. ``behind`` are
    the reels without which a planned load began, or out of which they are struck.
    """
    never = {(id(one.item), one.reel) for one in behind}
    own = shelf.own_stocks()
    transfers: dict[str, str] = {}
    for item in plan.items:
        key = item.calibration if item.kind == "align" else item.reel
        reel = shelf.reels.get(key) if item.kind in ("repair", "audition", "transfer", "align") else None
        if reel is None or reel.chamber or was_done(reel, item) or _lined_up(shelf, item):
            continue
        as_planned = likely(reel, shelf.studio, own)  # one that nobody has looked at, as it most likely is
        by = max(now, item.start if item.kind == "repair" else item.end)
        sick = key not in running(shelf) and needs_conditioning(as_planned, shelf.studio, by, own)
        over = _not_made(plan, key, now) if item.end > now else None
        if not sick or (over is None and _warmed_before(shelf, plan, reel, item, never)):
            continue
        lapsed = playable_until(reel, shelf.studio) is not None
        why = "not playable any more by then, and no load ahead warms it" if lapsed else STICKY
        why = off_since(shelf, key) or (why if over is None else _over_words(shelf, over, reel))
        if item.kind == "transfer":
            transfers[key] = why
        yield Struck(item, key, why)
    for item in plan.items if transfers else ():
        if item.kind == "verify" and item.reel in transfers:
            yield Struck(item, item.reel, transfers[item.reel])


def _not_made(plan: Plan, key: str, now: datetime) -> Item | None:
    """The plan's last load with that reel where its hours are over; it is in no chamber and not warmed."""
    loads = [item for item in plan.items if item.kind == "condition" and key in item.reels]
    over = [any(one.reel == key and one.out <= now for one in item.members) for item in loads]
    return loads[-1] if loads and all(over) else None


def _over_words(shelf: Shelf, load: Item, reel: Reel) -> str:
    """What became of that reel's load: it came out too early, or nobody told that it was made."""
    log = begun_with_some(shelf, load.chamber, load.reels, load.start)
    if log is not None and log.member(reel.key) is not None:
        short = short_hours(shelf, reel)
        return f"it {short.says}" if short is not None else f"out of {load.chamber} already"
    when = f"{day_text(load.start.date())} {load.start:%H:%M}"
    return f"its load of {when} was not made: if it was, mark it first"


#: Steps that nobody begins with a tape that was not looked at.
_NOT_UNSEEN = ("condition", "align", "repair", "audition", "transfer", "verify")


def unseen(shelf: Shelf, plan: Plan) -> Iterator[Struck]:
    """Steps with a tape that nobody has inspected, at which this plan does not look before them."""
    looks = {item.reel: item.start for item in plan.items if item.kind == "identify"}
    for item in (one for one in plan.items if one.kind in _NOT_UNSEEN):
        for key in item.reels or (item.calibration,):
            reel = shelf.reels.get(key)
            if reel is None or reel.chamber or was_done(reel, item):
                continue
            unseen_yet = "nobody has inspected it" if inspect_first(reel) else "it is not identified"
            if reel.past("identified") and not inspect_first(reel):
                continue
            if looks.get(key, item.end) >= item.start and not _lined_up(shelf, item):
                yield Struck(item, key, f"{unseen_yet}, and this plan does not look at it first")


def warmed_since(shelf: Shelf, plan: Plan) -> Iterator[Struck]:
    """Reels in a load of the plan that were warmed since it was made, and need it no more."""
    then = rested_on(plan.rests_on or shelf.of_kind("plan").get("made from") or {}).reels
    for item in plan.items:
        for key in item.reels if item.kind == "condition" else ():
            reel, was = shelf.reels.get(key), then.get(key)
            if reel is None or was is None or reel.chamber or was_done(reel, item):
                continue
            before = was.stage in STAGES and STAGES.index(was.stage) < STAGES.index("conditioned")
            if reel.conditioned_at is not None and before and playable(reel, shelf.studio, item.start):
                yield Struck(item, key, "warmed since this plan was made")


def _warmed_before(shelf: Shelf, plan: Plan, reel: Reel, item: Item, never: Set[tuple[int, str]]) -> bool:
    """True where a load of the plan that is still to come, or runs, warms that reel before the step.

    ``never`` are loads, by id, and reels that do not go in with them any more.
    """
    ends = [
        member.out or log.broken_off
        for log in advisor(shelf).loads
        if (member := log.member(reel.key)) is not None
    ]
    last = max((end for end in ends if end is not None), default=None)
    return any(
        member.reel == reel.key and member.out <= item.start and (last is None or last <= load.start)
        for load in plan.items
        if load.kind == "condition" and (id(load), reel.key) not in never
        for member in load.members
    )


def unlined(shelf: Shelf, plan: Plan, gone: Set[int]) -> Iterator[Struck]:
    """Steps that rest on a line-up that must not be made any more: touch-ups, transfers, their looks.

    ``gone`` are the ids of the line-ups and transfers that are struck out already.
    """
    lost: dict[str, str] = {}
    for deck in {item.deck for item in plan.items if item.kind == "align" and id(item) in gone}:
        why: str = ""  # of the line-up that is not made
        setup: tuple[tuple[str, str], ...] = ()
        mine = [item for item in plan.items if item.deck == deck and item.kind in ("align", "transfer")]
        for item in sorted(mine, key=lambda one: one.start):
            if item.kind == "align" and id(item) in gone and not _stands(shelf, item):
                why, setup = f"its line-up with {item.calibration} is struck out", item.setup
            elif item.kind == "align" and why and not item.full and item.setup == setup:
                yield Struck(item, item.calibration, why)
            elif item.kind == "align":
                why = ""
            elif why and id(item) not in gone and not _begun(shelf, item):
                lost[item.reel] = why
                yield Struck(item, item.reel, why)
    for item in plan.items if lost else ():
        if item.kind == "verify" and item.reel in lost:
            yield Struck(item, item.reel, lost[item.reel])


def _stands(shelf: Shelf, item: Item) -> bool:
    """True where the line-up was made, or the deck was lined up so in that evening in another way."""
    stands, deck = deck_stands(shelf).get(item.deck), shelf.studio.deck(item.deck)
    if stands is None or deck is None or deck.lined_up is None:
        return False
    same = deck.lined_up.words() == dict(item.setup)
    tonight = evening_of(stands.at.astimezone(item.start.tzinfo)) == evening_of(item.start)
    return _lined_up(shelf, item) or (same and tonight)


def _begun(shelf: Shelf, item: Item) -> bool:
    """True for a transfer that was made, or of which the tape runs."""
    reel = shelf.reels.get(item.reel)
    return reel is None or was_done(reel, item) or item.reel in running(shelf)


def in_vain(shelf: Shelf, plan: Plan, gone: set[int]) -> Iterator[Struck]:
    """The line-ups whose every transfer is struck out, and which no later touch-up rests on.

    ``gone`` are the ids of the steps of which nothing is left.
    """
    for deck in {item.deck for item in plan.items if item.kind == "align"}:
        plays: list[Item] = []
        rests = None  # the touch-up that follows and is still to be made: it needs the deck on its set-up
        mine = [item for item in plan.items if item.deck == deck and item.kind in ("align", "transfer")]
        for item in sorted(mine, key=lambda one: one.start, reverse=True):
            if item.kind == "transfer":
                plays.append(item)
                continue
            needed = rests is not None and rests.setup == item.setup and not rests.full
            vain = bool(plays) and all(id(one) in gone for one in plays) and not needed
            if vain and id(item) not in gone and not _lined_up(shelf, item):
                yield Struck(item, "", "nothing is left to play on this line-up")
            rests, plays = (rests if vain or id(item) in gone else item), []


def _lined_up(shelf: Shelf, item: Item) -> bool:
    """True for a line-up that was made: its deck was lined up since it was to begin."""
    stands = shelf.of_kind("deck").get(item.deck) if item.kind == "align" else None
    return stands is not None and datetime.fromisoformat(stands["at"]) >= item.start
