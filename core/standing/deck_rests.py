"""Dates on which a deck rests by its owner's word: a wish for the planner, and asked about by hand."""

from __future__ import annotations

from datetime import date

from core.shelf import Shelf


def rests(shelf: Shelf, deck: str, day: date) -> bool:
    """Whether that deck, or every deck, is to rest on that date."""
    closed = [one for one in shelf.of_kind("pin").values() if (one.get("do"), one.get("kind")) == _CLOSED]
    return any(one.get("day") == day.isoformat() and one.get("reel") in ("", deck) for one in closed)


_CLOSED = ("forbid", "deck")
