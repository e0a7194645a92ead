"""Every item is as long as its reel, its deck and the handling make it.

Kept as well by `core/reels/minutes.py`, asked by `core/standing/part_minutes.py: part_minutes` and
`facts/jobs.py: job_of`.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from core.plan import Item
from core.planning.rules.case import Case, minutes_of, named
from core.planning.rules.line_up import parts_of
from core.reels import minutes
from core.standing.part_minutes import part_minutes, whole_play


def lengths(case: Case) -> Iterator[str]:
    """Rule 8: every item is as long as its reel, its deck and the handling make it."""
    for item in case.bench:
        due = _minutes_due(case, item)
        if minutes_of(item) not in due:
            yield f"{named(item)} is {minutes_of(item):g} minutes long, not {due or 'possible'}"


def _minutes_due(case: Case, item: Item) -> set[int]:
    studio = case.shelf.studio
    deck = studio.deck(item.deck)
    if item.kind == "align" and deck is not None:
        return {minutes.on_grid(Fraction(deck.setup_minutes if item.full else deck.touch_up_minutes), studio)}
    reel = case.reels.get(item.reel)
    if reel is None:
        return set()
    if item.kind == "identify":
        return {minutes.identify_minutes(studio)}
    if item.kind == "repair":
        return {minutes.repair_minutes(reel, studio)}
    if item.kind == "audition" and deck is not None and reel.width and deck.takes_width(reel.width):
        return {minutes.audition_minutes(reel, studio, own=case.own)}
    if item.kind == "verify":
        return {minutes.verify_minutes(reel, studio, whole_play(case.shelf, reel))}
    due = set()
    for one in parts_of(case, item) if item.kind == "transfer" and deck is not None else ():
        part = one.reel
        known = part.width and part.tracks and part.speed
        fits = known and deck and deck.takes(part.width, part.tracks, part.speed)  # type: ignore[arg-type]
        if deck and fits and item.passes == len(one.left):
            due.add(part_minutes(one, deck, studio, case.own, case.start))
    return due
