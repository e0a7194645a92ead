"""What was left out of an evening by its owner: no plan made that evening takes it up again."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from core.clock import evening_of
from core.shelf import Shelf
from core.standing.left_to_play import to_play


def left_out_until(shelf: Shelf, at: datetime) -> tuple[tuple[str, date], ...]:
    """The reels that are not worked on again in the evening of ``at``, each with the date on which they are.

    A line-up that was left out leaves out the reels of its set-up; a step that was begun after all, none.
    """
    tonight = evening_of(at)
    reels: dict[str, None] = {}
    for record in shelf.of_kind("actual").values():
        if record["state"] != "skipped" or not record.get("not tonight"):
            continue
        if evening_of(datetime.fromisoformat(record["planned"][0]).astimezone(at.tzinfo)) != tonight:
            continue
        keys = record.get("reels") or [record["subject"]]
        if record["kind"] == "align":
            keys = _of_setup(shelf, record.get("setup", {}))
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
