"""A tape that is of another speed or length than its box said: begun passes, their ends and clocks follow."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import TYPE_CHECKING

from core.clock import Span, later, write_time
from core.evening.playing.passes import lay_aside
from core.evening.tonight.transfer import halt
from core.evening.warming.as_logged import as_logged
from core.logbook.passes import played
from core.logbook.steps import StepTaken, taken
from core.logbook.typed import with_entry
from core.reels.length import play_seconds
from core.reels.minutes import transfer_minutes
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import transfer_named
from core.studio.setup import speed_key

if TYPE_CHECKING:
    from core.evening.tonight.sheet import Step

SAID = "heard at"


def heard_otherwise(before: Reel, shelf: Shelf, at: datetime) -> Shelf:
    """The shelf after that reel was heard: at another speed, its tape stops and begun passes are laid aside.

    The step waits again, from the tape's head; what ran is kept apart from it. A reel whose sound is
    captured, or whose parts have speeds of their own, stays as it is.
    """
    reel = shelf.reel(before.key)
    was, now = speed_key(before.speed), speed_key(reel.speed)
    if was is None or was == now or reel.past("transferred") or shelf.segments_of(reel.key):
        return shelf
    why = f"{SAID} {reel.speed or 'a speed not known'}, not {before.speed}"
    halted = halt(shelf, reel.key, at, why)
    for key, step in taken(halted).items():
        if (step.kind, step.subject, step.because) == ("transfer", reel.key, why):
            apart = f"{key} stopped {write_time(at)}"
            halted = with_entry(halted, apart, step).with_record("actual", key, None)
    return lay_aside(halted, reel.key, why)


def ran_and_waits(key: str, one: StepTaken) -> bool:
    """True for what is kept of such a step: it ran, and waits again as a step of its own."""
    return " stopped " in key and one.because.startswith(SAID)


def follow(before: Shelf, after: Shelf, at: datetime) -> Shelf:
    """The shelf after an edit of reels: passes that were begun follow what it says of speed and length.

    At another speed they are laid aside, as by `heard_otherwise`. At another length alone what was played
    stays good, and only the end of the tape moves. Take-outs stay as the chambers' logs have them.
    """
    after = as_logged(before, after, at)
    begun = {one.reel for one in played(after).values() if not one.void}
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
    for key, one in played(shelf).items():
        if one.reel == was.key and not one.void and not one.span and one.state != "done":
            before = one.total if one.total_was is None else one.total_was
            shelf = with_entry(shelf, key, replace(one, total=float(total), total_was=before))
    return shelf


def as_heard(shelf: Shelf, step: Step) -> Step:
    """A transfer as long as its tape takes by the speed and length that were found since the plan."""
    item, reel = step.item, shelf.reels.get(step.subject)
    if step.kind != "transfer" or step.state not in ("waiting", "running") or item is None or reel is None:
        return step
    deck = shelf.studio.deck(item.deck)
    mine = (one for one in played(shelf).values() if one.reel == reel.key)
    found = any(one.void.startswith(f"{SAID} {reel.speed}") or one.total_was is not None for one in mine)
    if deck is None or item.segment or not found:
        return step
    try:
        part = transfer_named(shelf, reel, "")
        whole = play_seconds(reel, shelf.studio) or Fraction(0)
        begun = part.left_to_run(whole, step.planned.start) if part.again is not None else None
        minutes = transfer_minutes(reel, deck, shelf.studio, own=shelf.own_stocks(), begun=begun)
    except ValueError:
        return step
    return replace(step, planned=Span(step.planned.start, later(step.planned.start, minutes=minutes)))
