"""Reels left over that would find a place if their box told the set-up on which a deck stands anyway."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from core.evening.around.unset import written
from core.lineup.on_shelf import setup_of_words
from core.plan import Plan
from core.planning.bench.follow import draft_of_plan
from core.planning.bench.placing import Placing, without
from core.planning.wishes.wished import read_wished
from core.planning.wishes.wishes import Wishes
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.setup import Setup

MOST = 3  # reels of one plan that are asked about
WIDE = 300  # reels times evenings of a plan in which they are


def with_told(shelf: Shelf, plan: Plan, wishes: Wishes) -> Plan:
    """The plan whose left-over reels say which words on the shelf would do; a large plan as it is."""
    waits = [one.reel for one in plan.left_over if not one.barred_by and _blank(shelf.reels.get(one.reel))]
    days = (plan.until.date() - plan.start.date()).days
    if not waits or len(shelf.reels) * days > WIDE:
        return plan
    words = {key: told_would_do(shelf, plan, key, wishes) for key in waits[:MOST]}
    left = (
        replace(one, why=f"{one.why}; {words[one.reel]} would do it too") if words.get(one.reel) else one
        for one in plan.left_over
    )
    return replace(plan, left_over=tuple(left))


def told_would_do(shelf: Shelf, plan: Plan, key: str, wishes: Wishes) -> str:
    """What to write on a reel so that it finds a place beside the plan; empty where nothing is found.

    Tried: the reel is entered with those words where all else stays.
    """
    reel = shelf.reels.get(key)
    if reel is None or not _blank(reel) or shelf.segments_of(key):
        return ""
    for like in _stood_on(shelf, plan, reel):
        fields = reel.setup.made_to(like)
        if fields is None:
            continue
        told = replace(
            reel, eq=fields.get("eq", reel.eq), level=like.level if "level" in fields else reel.level
        )
        if _fits(shelf.with_reel(told), plan, key, wishes):
            return f"{written(((key, fields),))}, if that is what it has,"
    return ""


def _blank(reel: Reel | None) -> bool:
    return reel is not None and not (reel.eq.strip() and reel.level is not None)


def _stood_on(shelf: Shelf, plan: Plan, reel: Reel) -> Iterator[Setup]:
    """The set-ups on which decks that take the reel stand before and in the plan, each once."""
    seen = set()
    for deck in shelf.studio.decks:
        if reel.width is None or reel.tracks is None or reel.speed is None:
            return
        if not deck.takes(reel.width, reel.tracks, reel.speed):
            continue
        own = (dict(i.setup) for i in plan.items if i.kind == "align" and i.deck == deck.id)
        for setup in (*([deck.lined_up] if deck.lined_up else []), *(setup_of_words(shelf, o) for o in own)):
            if setup.key not in seen:
                seen.add(setup.key)
                yield setup


def _fits(shelf: Shelf, plan: Plan, key: str, wishes: Wishes) -> bool:
    days = (plan.until.date() - plan.start.date()).days
    problem = read_wished(shelf, plan.start, days, wishes)
    job = next((one for one in problem.work if one.key == key), None)
    if job is None:
        return False
    return Placing(problem, without(draft_of_plan(problem, plan), job)).end_of(job) is not None
