"""Calibration reels that nobody has looked at and that could not be warmed if they are what is likely.

Such a one bars nothing and serves nothing until someone has looked: what waits for it, waits for ten minutes.
"""

from __future__ import annotations

from collections.abc import Iterable

from core.planning.facts.problem import Job, Problem
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.calibration import fits
from core.standing.left_to_play import to_play


def unseen(job: Job) -> bool:
    """True for a calibration reel that no plan can use before it was looked at, and no plan knows after."""
    cold = job.warmth == "must" and not any(job.trays)
    return job.calibration and job.look and (cold or bool(job.waits))


def looks_waited_for(shelf: Shelf, problem: Problem, left: Iterable[str]) -> tuple[str, ...]:
    """The unseen calibration reels that fit a line-up of one of the reels that are left over."""
    cases = [job.reel for job in problem.jobs if unseen(job)]
    if not cases:
        return ()
    waiting = [shelf.reels[key] for key in left]
    return tuple(one.key for one in cases if any(_serves(shelf, one, reel) for reel in waiting))


def _serves(shelf: Shelf, calibration: Reel, reel: Reel) -> bool:
    """True if it fits a line-up for some part of the reel on a deck that takes the reel."""
    parts = (one.reel for one in to_play(shelf, reel))
    return any(
        deck.takes(reel.width, reel.tracks, part.speed) and fits(deck, part.setup, calibration)
        for part in parts
        for deck in shelf.studio.decks
        if reel.width is not None and reel.tracks is not None and part.speed is not None
    )


def unseen_words(keys: list[str]) -> str:
    """That nobody has looked at these."""
    return f"nobody has looked at {' or '.join(keys)}"
