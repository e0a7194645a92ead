"""What another shelf that comes into this one's place knows nothing of: tapes in the heat, or on a deck."""

from __future__ import annotations

from collections.abc import Iterator

from core.logbook.running import running
from core.shelf import Shelf
from core.words import listed


def forgotten(was: Shelf, now: Shelf) -> Iterator[str]:
    """A line for each load and tape that runs by the one shelf, and of which the other tells nothing."""
    loads: dict[tuple[str, str], list[str]] = {}
    for key, reel in was.reels.items():
        there = now.reels.get(key)
        if reel.chamber and reel.loaded_at is not None and (there is None or there.chamber != reel.chamber):
            at = reel.loaded_at.astimezone(was.studio.zone)
            loads.setdefault((reel.chamber, f"{at:%Y-%m-%dT%H:%M}"), []).append(key)
    for (chamber, since), keys in loads.items():
        yield (
            f"! {listed(keys)} went into {chamber} {since}, and this shelf knows nothing of it:"
            f" take out what lies there, or tell it again (`load {chamber} {' '.join(keys)} --at {since}`)"
        )
    here = running(now)
    for key, tape in running(was).items():
        if key not in here:
            on = f" on {tape.deck}" if tape.deck else ""
            yield f"! {key} ran{on}, and this shelf knows nothing of it: stop it, or begin its step again"
