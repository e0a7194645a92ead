"""The empty run before a chamber's first load: common practice, since a dial tells only the air."""

from __future__ import annotations

from core.conditioning.loads.chamber_flags import trial_needed
from core.conditioning.loads.kept_loads import loads_of
from core.shelf import Shelf


def trial_words(shelf: Shelf, chamber: str) -> str:
    """What is asked for before a chamber's first load; empty once an empty run was read at two places."""
    if not trial_needed(loads_of(shelf).values(), chamber):
        return ""
    return (
        f"{chamber} had no empty run yet: run it empty as long as a load, with a second thermometer, "
        "and read two places."
    )
