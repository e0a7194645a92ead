"""What is said of a load that has begun, by whichever door it did."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from core.conditioning.base_look import look_lines, looks_asked
from core.conditioning.beyond_published import about_load
from core.conditioning.loads.trial import empty_runs, is_first, trial_words
from core.evening.playing.left_lying import on_two_reels
from core.evening.playing.lying import ONTO_ONE
from core.evening.warming.let_in import let_in
from core.plan import Item, Plan
from core.shelf import Shelf
from core.words import day_text, listed


def told_of_load(before: Shelf, after: Shelf, chamber: str, reels: Sequence[str]) -> tuple[str, ...]:
    """No empty run yet, what is beyond the published, what came in by a reason, tapes that lie on two reels,
    bases that nobody saw.
    """
    missing, unseen = trial_words(after, chamber), looks_asked(before, reels)
    look = f"nobody has seen the base of {listed(unseen)}: {' '.join(look_lines())}" if unseen else ""
    apart = [f"{key} {stands}: {ONTO_ONE}" for key in reels if (stands := on_two_reels(before, key))]
    told = (missing, *about_load(before, chamber, reels), *let_in(after, reels), *apart, look)
    return tuple(one for one in told if one)


def empty_before(shelf: Shelf, plan: Plan | None, load: Item, at: datetime) -> str:
    """That the chamber is run empty before that load, and when there is time for it; empty where it was."""
    if not trial_words(shelf, load.chamber) or (plan is not None and not is_first(shelf, plan, load)):
        return ""
    due = next((one for one in empty_runs(shelf, plan, at) if one.chamber == load.chamber), None)
    start = due.start if due is not None and due.load == load.start else None
    return "; before it the chamber's empty run" + (
        f", {day_text(start.date())} {start:%H:%M}" if start is not None else ""
    )
