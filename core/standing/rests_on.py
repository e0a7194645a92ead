"""Steps of a plan that rest on others: what plays rests on warmth, a line-up on what is to play on it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.conditioning.advisor import advisor
from core.plan import Item, Plan
from core.reels.needs import needs_conditioning, playable, playable_until
from core.reels.reel import STAGES, Reel
from core.shelf import Shelf
from core.standing.made_from import rested_on
from core.standing.struck import Struck, was_done


def unwarmed(shelf: Shelf, plan: Plan) -> Iterator[Struck]:
    """Steps that would play or mend a tape that is to be warmed first, where nothing before them warms it."""
    own = shelf.own_stocks()
    transfers: dict[str, str] = {}
    for item in plan.items:
        key = item.calibration if item.kind == "align" else item.reel
        reel = shelf.reels.get(key) if item.kind in ("repair", "audition", "transfer", "align") else None
        if reel is None or reel.chamber or was_done(reel, item) or _lined_up(shelf, item):
            continue
        if not needs_conditioning(reel, shelf.studio, item.start, own) or _warmed_before(
            shelf, plan, reel, item
        ):
            continue
        lapsed = playable_until(reel, shelf.studio) is not None
        why = f"{'not playable any more by then' if lapsed else 'sticky'}, and this plan does not warm it"
        if item.kind == "transfer":
            transfers[key] = why
        yield Struck(item, key, why)
    for item in plan.items if transfers else ():
        if item.kind == "verify" and item.reel in transfers:
            yield Struck(item, item.reel, transfers[item.reel])


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


def _warmed_before(shelf: Shelf, plan: Plan, reel: Reel, item: Item) -> bool:
    """True where a load of the plan that is still to come, or runs, warms that reel before the step."""
    ends = [
        member.out or log.broken_off
        for log in advisor(shelf).loads
        if (member := log.member(reel.key)) is not None
    ]
    last = max((end for end in ends if end is not None), default=None)
    return any(
        member.reel == reel.key and member.out <= item.start and (last is None or last <= load.start)
        for load in plan.items
        if load.kind == "condition"
        for member in load.members
    )


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
