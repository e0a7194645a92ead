"""How long a pass should run, by what is known of its reel now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.logbook.passes import played_of
from core.reels.length import length_of, play_seconds
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import transfers

if TYPE_CHECKING:
    from core.raw import RawCheck

#: Where a length comes from that is no more than a guess: a pass that differs from it is only noted.
ROUGH = ("reel_size", "assumed", "assume_length")
_SOURCES = {"reel size": "reel_size", "pack": "pack_diameter"}


def expected_length(shelf: Shelf, reel: Reel, number: int) -> tuple[float | None, str]:
    """Seconds of that pass, None where nothing tells, and by which column or part of the tape."""
    length, seconds = length_of(reel, shelf.studio), play_seconds(reel, shelf.studio)
    part = next((one for one in transfers(shelf, reel) if number in one.numbers and one.span), None)
    span = _span(shelf, reel.key, number)
    if span is None and part is not None and part.span is not None:
        span = float(part.span[1] - part.span[0])
    if span is not None:
        return span, "segment"
    told = _SOURCES.get(length.source, length.source) if length else ""
    return (float(seconds) if seconds is not None else None), told


def length_off(shelf: Shelf, check: RawCheck) -> str | None:
    """``short`` or ``long`` for a checked pass by what is known now; empty where it is as it should be.

    Judged as its check does. None where nothing tells it, or only roughly: then the check's own word stands.
    """
    reel, kept = shelf.reels.get(str(check.get("reel"))), check.get("thresholds") or {}
    if reel is None or "length_percent" not in kept or "length_seconds" not in kept:
        return None
    expected, by = expected_length(shelf, reel, int(check.get("pass", 1)))
    if not expected or by in ROUGH:
        return None
    off = float(check.get("seconds", 0.0)) - expected
    if abs(off) <= expected * float(kept["length_percent"]) / 100 + float(kept["length_seconds"]):
        return ""
    kind = "short" if off < 0 else "long"
    return "" if kept.get(f"weight {kind}") == "note" else kind


def _span(shelf: Shelf, key: str, number: int) -> float | None:
    """Seconds of play time that the pass covers, where only a part of the reel was captured."""
    spans = [one.span for one in played_of(shelf, key) if one.number == number and one.span]
    return spans[-1][1] - spans[-1][0] if spans else None
