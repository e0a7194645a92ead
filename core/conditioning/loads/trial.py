"""The empty run before a chamber's first load: common practice, since a dial tells only the air."""

from __future__ import annotations

from core.conditioning.loads.chamber_flags import trial_needed
from core.conditioning.loads.kept_loads import loads_of
from core.plan import Item, Plan
from core.shelf import Shelf


def trial_words(shelf: Shelf, chamber: str) -> str:
    """What is asked for before a chamber's first load; empty once an empty run was read at two places."""
    if not trial_needed(loads_of(shelf).values(), chamber):
        return ""
    return (
        f"{chamber} had no empty run yet: run it empty as long as a load, with a second thermometer, "
        "and read two places."
    )


def trial_short(shelf: Shelf, chamber: str) -> str:
    """The same beside a load that is told already."""
    asked = trial_needed(loads_of(shelf).values(), chamber)
    return f"{chamber} had no empty run yet: run it empty first, and read two places" if asked else ""


def is_first(plan: Plan, load: Item) -> bool:
    """Whether no load of that chamber is planned before: the empty run that is asked for lies before it."""
    loads = (one for one in plan.items if one.kind == "condition" and one.chamber == load.chamber)
    return all(one.start >= load.start for one in loads)
