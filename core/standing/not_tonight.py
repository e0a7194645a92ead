"""What was left out of an evening by its owner: no plan made that evening takes it up again."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from core.clock import evening_of
from core.logbook.steps import taken
from core.shelf import Shelf
from core.standing.left_to_play import to_play


def left_out_until(shelf: Shelf, at: datetime) -> tuple[tuple[str, date], ...]:
    """The reels that are not worked on again in the evening of ``at``, each with the date on which they are.

    What was left out while yesterday was caught up with is left out of the evening on which that was said.
    A line-up that was left out leaves out the reels of its set-up; a step that was begun after all, none.
    """
    tonight = evening_of(at)
    reels: dict[str, None] = {}
    for one in taken(shelf).values():
        if one.state != "skipped" or not one.not_tonight:
            continue
        said = max(one.planned[0], one.finished or one.planned[0])
        if evening_of(said.astimezone(at.tzinfo)) != tonight:
            continue
        keys: Iterable[str] = one.reels or (one.subject,)
        if one.kind == "align":
            keys = _of_setup(shelf, one.setup or {})
        reels |= dict.fromkeys(key for key in keys if key in shelf.reels)
    return tuple((key, tonight + timedelta(days=1)) for key in reels)


def _of_setup(shelf: Shelf, setup: object) -> list[str]:
    """The reels still to be played on that set-up."""
    return [
        reel.key
        for reel in shelf.transferable()
        if not reel.past("transferred")
        and any(one.reel.setup.words() == setup for one in to_play(shelf, reel))
    ]
