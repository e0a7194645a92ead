"""What really happened teaches the handling times: robust medians, taken in only by the owner."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction
from statistics import median
from typing import Any

from core.clock import minutes_between
from core.errors import Refused
from core.reels.minutes import passes, winds
from core.shelf import Shelf

ENOUGH = 5  # fewer evenings than this teach nothing


@dataclass(frozen=True, slots=True)
class Learnt:
    """A handling time as it was planned and as it came out: ``minutes`` is the median, ``spread`` the median
    distance from it, ``times`` how often it was seen."""

    name: str
    planned: float
    minutes: float
    spread: float
    times: int

    @property
    def enough(self) -> bool:
        """True if it was seen often enough to be taken in."""
        return self.times >= ENOUGH


def learnt(shelf: Shelf) -> tuple[Learnt, ...]:
    """Every handling time of which something is known; play time is taken off transfers first."""
    seen: dict[str, list[float]] = {}
    for record in shelf.of_kind("actual").values():
        if record["state"] == "done" and record.get("started") and record.get("finished"):
            for name, minutes in _handling(shelf, record):
                seen.setdefault(name, []).append(minutes)
    return tuple(_robust(shelf, name, values) for name, values in sorted(seen.items()))


def take_in(shelf: Shelf, one: Learnt) -> Shelf:
    """The shelf with that learnt time in the studio's own minutes; undone like any other change."""
    if not one.enough:
        raise Refused(f"{one.name} was seen {one.times} times: {ENOUGH} are wanted before it counts")
    whole = max(0, round(one.minutes))
    if ":" not in one.name:
        minutes = replace(shelf.studio.minutes, **{one.name: Fraction(whole)})  # type: ignore[arg-type]
        return replace(shelf, studio=replace(shelf.studio, minutes=minutes))
    deck_id, what = one.name.split(":")
    full = what == "line-up"
    decks = tuple(
        deck
        if deck.id != deck_id
        else replace(deck, setup_minutes=whole)
        if full
        else replace(deck, touch_up_minutes=whole)
        for deck in shelf.studio.decks
    )
    return replace(shelf, studio=replace(shelf.studio, decks=decks))


def _handling(shelf: Shelf, record: Mapping[str, Any]) -> list[tuple[str, float]]:
    start, end = (datetime.fromisoformat(record[name]) for name in ("started", "finished"))
    took = float(minutes_between(start, end))
    if record["kind"] == "identify":
        return [("identify", took)]
    if record["kind"] == "align":
        return [(f"{record['subject']}:{'line-up' if record.get('full') else 'touch-up'}", took)]
    if record["kind"] == "transfer":
        tape = _tape_minutes(shelf, record["subject"])
        return [] if tape is None else [("load", max(0.0, took - tape))]
    return []


def _tape_minutes(shelf: Shelf, key: str) -> float | None:
    """Minutes for which the tape itself ran: passes and winds."""
    from core.reels.estimate import deck_for
    from core.reels.length import play_seconds
    from core.reels.minutes import wind_speed

    reel = shelf.reels.get(key)
    deck = deck_for(reel, shelf.studio) if reel is not None else None
    seconds = play_seconds(reel, shelf.studio) if reel is not None else None
    if reel is None or deck is None or seconds is None or not reel.tracks or reel.speed is None:
        return None
    runs = passes(reel.tracks, shelf.studio)
    wind = seconds * reel.speed.number / wind_speed(reel, deck, shelf.own_stocks())
    return float((runs * seconds + winds(reel, runs) * wind) / 60)


def _robust(shelf: Shelf, name: str, values: list[float]) -> Learnt:
    """The median of what lies within five median distances of the first: one bad night teaches nothing."""
    middle = median(values)
    distance = median(abs(value - middle) for value in values) or 1.0
    kept = [value for value in values if abs(value - middle) <= 5 * distance]
    middle = median(kept)
    spread = median(abs(value - middle) for value in kept)
    return Learnt(name, _planned(shelf, name), round(middle, 1), round(spread, 1), len(kept))


def _planned(shelf: Shelf, name: str) -> float:
    if ":" not in name:
        return float(getattr(shelf.studio.minutes, name))
    deck_id, what = name.split(":")
    deck = shelf.studio.deck(deck_id)
    if deck is None:
        return 0.0
    return float(deck.setup_minutes if what == "line-up" else deck.touch_up_minutes)
