"""The rows of history that tell of reels; the shelf picks them where it can, since history grows long."""

from __future__ import annotations

from collections.abc import Iterable

from core.shelf import Event, Shelf


def reel_events(shelf: Shelf, *fields: str) -> Iterable[Event]:
    """The events of reels that tell of these fields (``stage``, ``note``), oldest first."""
    picked = getattr(shelf.history, "picked", None)
    if picked is not None:
        found: Iterable[Event] = picked("reel", fields)
        return found
    return [event for event in shelf.history if event.kind == "reel" and event.field in fields]
