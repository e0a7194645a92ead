"""A deck that does not run any more: what runs on it stops, and its tape lies there on both reels."""

from __future__ import annotations

from datetime import datetime

from core.clock import clock_text
from core.evening.playing.left_lying import lies_on
from core.evening.tonight.transfer import halt, stop_line_up
from core.logbook.running import in_the_way
from core.logbook.steps import taken
from core.shelf import Shelf


def stopped_on(shelf: Shelf, deck: str, at: datetime, why: str) -> Shelf:
    """The shelf with nothing running on that deck: a pass stands where it is, any other step waits again."""
    runs = in_the_way(shelf, deck, at)
    if runs is None:
        return shelf
    if runs.kind == "transfer":
        return halt(shelf, runs.reel, at, why, step_too=False)
    return stop_line_up(shelf, at, why, deck)


def lies_there(shelf: Shelf, deck: str, at: datetime) -> str:
    """What to do about the tape that lies on both reels of that deck; empty where none does."""
    lies = (lies_on(shelf, None, key, at) for key in shelf.reels)
    one = next((one for one in lies if one is not None and one.deck == deck), None)
    if one is None:
        between = (step for step in taken(shelf).values() if step.kind == "transfer" and step.deck == deck)
        tape = next((step.subject for step in between if step.state == "running"), "")
        return f"{tape} is on {deck}: lift it off" if tape else ""
    if not one.goes_on or one.out:
        return one.says
    stands = f"{one.reel} lies on both reels of {deck} at {clock_text(int(one.seconds))}"
    return f"{stands}: lift both off together; it goes on from there"
