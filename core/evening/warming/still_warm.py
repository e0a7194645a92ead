"""A load that was broken off and is still warm: going on with it saves the hours that its tapes had."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.clock import later
from core.conditioning.loads.kept_loads import loads_of
from core.conditioning.loads.limits import limits_of
from core.errors import Refused
from core.evening.warming.load_broken import go_on
from core.shelf import Shelf
from core.words import listed


def still_warm_lines(shelf: Shelf, now: datetime) -> Iterator[str]:
    """A line for each load that may go on at ``now``: until when, and that a new load begins from nothing."""
    most = limits_of(shelf).resume_minutes
    for key, log in loads_of(shelf).items():
        if log.trial or log.broken_off is None or now < log.broken_off:
            continue
        try:
            after = go_on(shelf, key, now)
        except Refused:
            continue
        back = [
            reel.key for reel in after.reels.values() if reel.chamber and not shelf.reels[reel.key].chamber
        ]
        by = later(log.broken_off, minutes=round(most)).astimezone(now.tzinfo)
        state = f"came out of {log.chamber} before time and {'is' if len(back) == 1 else 'are'} still warm"
        how = f"`chamber {log.chamber} --go-on` by {by:%H:%M} counts the hours had; a new load does not"
        yield f"{listed(back)} {state}: {how}"
