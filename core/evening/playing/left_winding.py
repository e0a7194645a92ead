"""Slow winds that were begun and are not over: their tapes lie on both reels of a deck overnight."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from core.clock import evening_of
from core.conditioning.advisor import advice_of
from core.conditioning.spreading.lies_apart import lies_apart
from core.evening.playing.lying import LeftLying
from core.logbook.passes import played_of
from core.logbook.places import put_away
from core.logbook.steps import StepTaken, taken
from core.logbook.typed import with_entry
from core.shelf import Shelf


def left_winding(shelf: Shelf, at: datetime) -> Iterator[LeftLying]:
    """Each tape whose slow wind an earlier evening left on the way; tonight's is in one's hands still.

    Over is what was played, wound, warmed or put into its place since, and what was lifted off its deck.
    """
    zone = shelf.studio.zone
    for one in _newest(shelf).values():
        since = (one.finished or one.started or one.planned[0]).astimezone(zone)
        open_still = one.state in ("running", "skipped") and one.started is not None and bool(one.deck)
        if not open_still or evening_of(since) >= evening_of(at.astimezone(zone)):
            continue
        tape, back = shelf.reels.get(one.subject), put_away(shelf).get(one.subject)
        played = any(each.last.started > since for each in played_of(shelf, one.subject))
        if tape is None:
            continue
        warmed = bool(tape.chamber) or (tape.conditioned_at or since) > since
        if not played and not warmed and not (back and back.at >= since):
            how = "stopped" if one.state == "skipped" else "not told over, begun"
            apart = lies_apart(tape)
            told = advice_of(shelf, tape, since)
            why = (told.barred_by if told.word not in ("warm", "test first") else None) or ""
            lies = LeftLying(one.subject, one.deck, since, 0.0, "", wind=f"its slow wind {how}")
            yield replace(lies, barred=why, apart=apart)


def wound_on(shelf: Shelf, reel: str, *, lifted: bool = False) -> Shelf | None:
    """The shelf with that tape wound on to its head, or both reels lifted off; None where none lies so."""
    key, one = next(((key, one) for key, one in _kept(shelf) if one.subject == reel), ("", None))
    if one is None or one.state == "done" or not one.deck or one.started is None:
        return None
    if lifted:
        return with_entry(shelf, key, replace(one, state="skipped", deck=""))
    wound = shelf.with_reel(replace(shelf.reel(reel), wind="heads"))
    return with_entry(wound, key, replace(one, state="done"))


def _newest(shelf: Shelf) -> dict[str, StepTaken]:
    """By reel, its newest wind."""
    found: dict[str, StepTaken] = {}
    for _, one in _kept(shelf):
        found.setdefault(one.subject, one)
    return found


def _kept(shelf: Shelf) -> list[tuple[str, StepTaken]]:
    """Every wind that was begun, the newest first."""
    raw = shelf.of_kind("actual")
    winds = [key for key in raw if raw[key].get("kind") == "wind"]
    steps = [(key, taken(shelf)[key]) for key in winds]
    return sorted(steps, key=lambda pair: pair[1].started or pair[1].planned[0], reverse=True)
