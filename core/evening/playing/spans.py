"""Songs ready by a verified span: only a part of a reel was captured, for a reason, and is proved."""

from __future__ import annotations

from core.logbook.passes import played
from core.shelf import Shelf
from core.songs.song import Need, Song


def covered(shelf: Shelf, song: Song) -> bool:
    """True if every need of the song is verified, some by a span that was captured and checked alone."""
    return bool(song.needs) and all(_proved(shelf, need) for need in song.needs)


def _proved(shelf: Shelf, need: Need) -> bool:
    reel = shelf.reels.get(need.reel)
    if reel is not None and reel.stage == "verified":
        return True
    if need.start is None or need.end is None:
        return False
    return any(start <= need.start and need.end <= end for start, end in verified_spans(shelf, need.reel))


def verified_spans(shelf: Shelf, reel: str) -> tuple[tuple[float, float], ...]:
    """The spans of that reel, in seconds of play time, whose pass is done and whose check did not fail."""
    passed = {
        int(check.get("pass", 1))
        for check in shelf.of_kind("check").values()
        if check.get("reel") == reel and check.get("verdict") in ("pass", "remarks")
    }
    return tuple(
        one.span
        for one in played(shelf).values()
        if one.reel == reel and one.span and one.state == "done" and one.number in passed
    )
