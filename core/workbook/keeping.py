"""What is asked before a plan is kept, and what of the kept one still counts when another is made."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from core.evening.warming.meanwhile import loaded_meanwhile
from core.words import listed

if TYPE_CHECKING:
    from core.plan import Plan
    from core.planning.wishes.wishes import Wishes
    from core.shelf import Shelf

NAMED = 4
"""How many changed things are told by name."""


def why_not_kept(shelf: Shelf, plan: Plan, at: datetime) -> str | None:
    """What the shelf as it is now has against a plan that was made from another state of it; None if nothing.

    Loads apart, it is asked only where something that a plan rests on has changed since.
    """
    from core.planning.rules.checker import broken
    from core.planning.rules.score import scored
    from core.standing.of_plan.made_from import changed_since, made_from
    from core.standing.of_plan.still import struck

    warmed = loaded_meanwhile(shelf, plan, at)
    if warmed is not None or plan.rests_on is None or plan.rests_on == made_from(shelf):
        return warmed
    gone = next((named for named in _named(plan) if named not in {*shelf.reels, *shelf.songs}), None)
    if gone is not None:
        return f"{gone} is not on the shelf any more"
    for one in struck(shelf, plan, at):
        return f"{one.reel} must not be done as planned ({one.why})"
    places = {deck.id for deck in shelf.studio.decks} | {chamber.id for chamber in shelf.studio.chambers}
    if any((item.deck or item.chamber or next(iter(places), "")) not in places for item in plan.items):
        return "a deck or chamber of the plan is not in the studio any more"
    first = next(broken(shelf, plan), None)
    if first is None or first.rule is not scored:
        return first and first.says
    named = changed_since(plan.rests_on, shelf)
    changed = f"{listed(named[:NAMED])}{f' and {len(named) - NAMED} more' if len(named) > NAMED else ''}: "
    return f"{changed if named else ''}what is to be done, or what it is worth, is another now"


def _named(plan: Plan) -> list[str]:
    """The keys of every reel and song that a plan speaks of."""
    reels = [key for item in plan.items for key in (*item.reels, item.calibration) if key]
    return [*reels, *(one.reel for one in plan.left_over), *(one.song for one in plan.songs)]


def simulated(shelf: Shelf, plan: Plan) -> dict[str, object]:
    """What the simulated evenings tell, as records; nothing where the plan is too long for that."""
    from core.clock import write_time
    from core.planning.answers.simulate import runs_for, simulate

    runs = runs_for(shelf, plan)
    if not runs:
        return {}
    told = simulate(shelf, plan, runs=runs)
    return {
        "promises": {one.song: one.promised and write_time(one.promised) for one in told},
        "evenings": {
            "runs": runs,
            "on_time": {one.song: round(one.on_time, 4) for one in told if one.planned is not None},
        },
    }


def rests_elsewhere(shelf: Shelf, asked: Wishes, kept: Plan) -> bool:
    """True if the shelf, or what is asked of a plan, is not what the kept plan was made from."""
    import json

    from core.planning.wishes.wishes import wishes_of
    from core.standing.of_plan.made_from import made_from

    def told(record: object) -> str:
        return json.dumps(record, sort_keys=True)

    slack = shelf.studio.comfort.slack if asked.slack is None else asked.slack
    if kept.slack != float(slack) or replace(asked, kept=None, proven=None) != wishes_of(shelf):
        return True
    return told(shelf.of_kind("plan").get("made from")) != told(made_from(shelf))


def proven_before(shelf: Shelf, asked: Wishes, kept: Plan | None) -> Plan | None:
    """The kept plan where shelf, hours and slack are those that it was made from, whatever is wished."""
    from core.standing.of_plan.made_from import rested_on, resting_on

    slack = shelf.studio.comfort.slack if asked.slack is None else asked.slack
    if kept is None or kept.slack != float(slack):
        return None
    then, now = rested_on(shelf.of_kind("plan").get("made from") or {}), resting_on(shelf)
    same = replace(then, wishes="", wished=()) == replace(now, wishes="", wished=())
    return kept if same else None


def under_way(kept: Plan | None, begin: datetime) -> bool:
    """True if that plan covers the moment from which one is made."""
    return kept is not None and kept.start <= begin < kept.until


def day_before(plan: Plan, song: str) -> date:
    """The day before the song is ready in the plan; the plan's last day where it is not."""
    from datetime import timedelta

    ready = next((one.ready for one in plan.songs if one.song == song), None)
    return plan.until.date() if ready is None else ready.date() - timedelta(days=1)
