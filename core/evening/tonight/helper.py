"""On which evenings the helper is needed: full line-ups of decks that ask for one, and nothing else."""

from __future__ import annotations

from datetime import date

from core.clock import evening_of
from core.logbook.steps import taken
from core.plan import Item, Plan
from core.shelf import Shelf
from core.studio.opening import opening
from core.words import listed


def needs_helper(shelf: Shelf, item: Item) -> bool:
    """True for a full line-up of a deck that wants a second person."""
    deck = shelf.studio.deck(item.deck) if item.kind == "align" and item.full else None
    return deck is not None and deck.setup_needs_helper


def days_needed(shelf: Shelf, plan: Plan) -> tuple[date, ...]:
    """The evenings of the plan on which the helper lines a deck up."""
    return tuple(sorted({evening_of(item.start) for item in plan.items if needs_helper(shelf, item)}))


def days_there(shelf: Shelf, plan: Plan) -> tuple[date, ...]:
    """The evenings in the plan on which the helper would come."""
    spans = opening(shelf.studio, "helper", plan.start, plan.until)
    return tuple(sorted({evening_of(max(span.start, plan.start)) for span in spans}))


def never_there(shelf: Shelf, plan: Plan) -> str:
    """That no evening of a plan with reels left over has the helper whom a deck wants, and what to do."""
    decks = [deck.id for deck in shelf.studio.decks if deck.setup_needs_helper]
    waiting = [one for one in plan.left_over if not one.barred_by]
    if not decks or not waiting or days_there(shelf, plan):
        return ""
    wants = f"{listed(decks)} want{'' if len(decks) > 1 else 's'} the helper for a full line-up"
    return (
        f"{wants}, who comes on no evening of this plan: give one with `hours`, or setup_needs_helper = false"
    )


def days_without(shelf: Shelf, plan: Plan) -> tuple[date, ...]:
    """The evenings on which the helper would come and is not needed: to tell them.

    One in which a deck was lined up with them is none of these, whatever is left of it.
    """
    needed = {*days_needed(shelf, plan), *days_helped(shelf)}
    return tuple(day for day in days_there(shelf, plan) if day not in needed)


def days_helped(shelf: Shelf) -> tuple[date, ...]:
    """The evenings on which a deck that wants a second person was lined up whole, or is being lined up."""
    decks = {deck.id for deck in shelf.studio.decks if deck.setup_needs_helper}
    raw = shelf.of_kind("actual").items() if decks else ()
    made = (
        key for key, one in raw
        if one.get("kind") == "align" and one.get("full") and one.get("subject") in decks
        and one.get("state") in ("running", "done")
    )  # fmt: skip
    known = taken(shelf)
    begun = (known[key].started or known[key].planned[0] for key in made)
    return tuple(sorted({evening_of(one.astimezone(shelf.studio.zone)) for one in begun}))
