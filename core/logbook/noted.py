"""Notes in a tape's history: what a person wrote about it, with the time; timed notes of passes lie apart."""

from __future__ import annotations

from collections.abc import Iterable

from core.shelf import Event, Shelf


def notes_in_history(shelf: Shelf) -> dict[str, tuple[Event, ...]]:
    """The notes on every reel that has one, the oldest first."""
    picked = getattr(shelf.history, "picked", None)  # a kept history finds them without reading the rest
    rows: Iterable[Event] = picked("reel", ("note",)) if picked is not None else shelf.history
    found: dict[str, list[Event]] = {}
    for event in rows:
        if event.kind == "reel" and event.field == "note" and event.note:
            found.setdefault(event.key, []).append(event)
    return {key: tuple(sorted(events, key=lambda one: one.at)) for key, events in found.items()}


def noted_of(shelf: Shelf, key: str) -> tuple[Event, ...]:
    """The notes on that reel, the oldest first."""
    return notes_in_history(shelf).get(key, ())
