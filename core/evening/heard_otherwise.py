"""A tape heard at another speed than its box said: what was played at the wrong one does not count."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from core.clock import Span, later
from core.evening.passes import lay_aside
from core.evening.transfer import halt
from core.reels.minutes import transfer_minutes
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.setup import speed_key

if TYPE_CHECKING:
    from core.evening.runsheet import Step

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


def as_heard(shelf: Shelf, step: Step) -> Step:
    """A transfer that waits, as long as its tape takes at the speed at which it was heard since the plan."""
    item, reel = step.item, shelf.reels.get(step.subject)
    if step.kind != "transfer" or step.state != "waiting" or item is None or reel is None or item.segment:
        return step
    deck = shelf.studio.deck(item.deck)
    if deck is None or not any(_laid_aside(record, reel) for record in shelf.of_kind("pass").values()):
        return step
    try:
        minutes = transfer_minutes(reel, deck, shelf.studio, own=shelf.own_stocks())
    except ValueError:
        return step
    return replace(step, planned=Span(step.planned.start, later(step.planned.start, minutes=minutes)))


def _laid_aside(record: Mapping[str, Any], reel: Reel) -> bool:
    return record["reel"] == reel.key and str(record.get("void", "")).startswith(f"{SAID} {reel.speed}")
