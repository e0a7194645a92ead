"""A tape that is of another speed or length than its box said: begun passes, their ends and clocks follow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from core.clock import Span, later
from core.evening.passes import lay_aside
from core.evening.transfer import halt
from core.reels.length import play_seconds
from core.reels.minutes import transfer_minutes
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.setup import speed_key

if TYPE_CHECKING:
    from core.evening.sheet import Step

SAID = "heard at"


def heard_otherwise(before: Reel, shelf: Shelf, at: datetime) -> Shelf:
    """The shelf after that reel was heard: at another speed, its tape stops and begun passes are laid aside.

    The step waits again, from the tape's head. A reel whose sound is captured, or whose parts have speeds of
    their own, stays as it is.
    """
    reel = shelf.reel(before.key)
    was, now = speed_key(before.speed), speed_key(reel.speed)
    if was is None or was == now or reel.past("transferred") or shelf.segments_of(reel.key):
        return shelf
    why = f"{SAID} {reel.speed or 'a speed not known'}, not {before.speed}"
    halted = halt(shelf, reel.key, at, why)
    for key, record in halted.of_kind("actual").items():
        if record["subject"] == reel.key and record["kind"] == "transfer" and record.get("because") == why:
            halted = halted.with_record("actual", key, None)
    return lay_aside(halted, reel.key, why)


def follow(before: Shelf, after: Shelf, at: datetime) -> Shelf:
    """The shelf after an edit of reels: passes that were begun follow what it says of speed and length.

    At another speed they are laid aside, as by `heard_otherwise`. At another length alone what was played
    stays good, and only the end of the tape moves.
    """
    begun = {record["reel"] for record in after.of_kind("pass").values() if not record.get("void")}
    for key in sorted(begun & set(before.reels) & set(after.reels)):
        was = before.reels[key]
        if was is not after.reels[key]:
            after = _longer(was, heard_otherwise(was, after, at))
    return after


def _longer(was: Reel, shelf: Shelf) -> Shelf:
    """The shelf with the ends of that reel's open passes where its length has them now."""
    total = play_seconds(shelf.reel(was.key), shelf.studio)
    if total is None or total == play_seconds(was, shelf.studio):
        return shelf
    for key, record in shelf.of_kind("pass").items():
        mine = record["reel"] == was.key and not record.get("void") and not record.get("span")
        if mine and record["state"] in ("running", "stopped"):
            told = {**record, "total": float(total), "total_was": record.get("total_was", record["total"])}
            shelf = shelf.with_record("pass", key, told)
    return shelf


def as_heard(shelf: Shelf, step: Step) -> Step:
    """A transfer as long as its tape takes by the speed and length that were found since the plan."""
    item, reel = step.item, shelf.reels.get(step.subject)
    if step.kind != "transfer" or step.state not in ("waiting", "running") or item is None or reel is None:
        return step
    deck = shelf.studio.deck(item.deck)
    mine = [record for record in shelf.of_kind("pass").values() if record["reel"] == reel.key]
    found = any(_laid_aside(record, reel) or "total_was" in record for record in mine)
    if deck is None or item.segment or not found:
        return step
    try:
        minutes = transfer_minutes(reel, deck, shelf.studio, own=shelf.own_stocks())
    except ValueError:
        return step
    return replace(step, planned=Span(step.planned.start, later(step.planned.start, minutes=minutes)))


def _laid_aside(record: Mapping[str, Any], reel: Reel) -> bool:
    return str(record.get("void", "")).startswith(f"{SAID} {reel.speed}")
