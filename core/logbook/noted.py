"""Notes in a tape's history: what a person wrote about it, with the time; timed notes of passes lie apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from core.remembered import once_a_shelf
from core.shelf import Event, Shelf

#: Further cell of an event: the number of the change that this one takes back.
TAKES_BACK = "takes_back"
#: Further cell of an event: the minute of the one note that it takes off, in universal time.
TAKES_OFF = "takes_off"
NOTE = "note"


def notes_in_history(shelf: Shelf) -> dict[str, tuple[Event, ...]]:
    """The notes on every reel that has one, the oldest first."""
    picked = getattr(shelf.history, "picked", None)  # a kept history finds them without reading the rest
    rows: Iterable[Event] = picked("reel", (NOTE,)) if picked is not None else shelf.history
    found: dict[str, list[Event]] = {}
    for event in in_force(rows):
        if event.kind == "reel" and event.field == NOTE:
            found.setdefault(event.key, []).append(event)
    return {key: tuple(sorted(events, key=lambda one: one.at)) for key, events in found.items()}


@once_a_shelf
def notes_of_all(shelf: Shelf) -> dict[str, tuple[Event, ...]]:
    """The same, found once for a shelf."""
    return notes_in_history(shelf)


def told_beside(shelf: Shelf) -> Iterator[tuple[Event, str]]:
    """Rows of reels beside which something was written: a mark's note, why one came out of the heat."""
    beside = getattr(shelf.history, "beside", None)  # a kept history finds them without reading the rest
    rows: Iterable[Event] = beside("reel", NOTE, "chamber") if beside is not None else shelf.history
    for event in rows:
        if event.kind == "reel" and event.field != NOTE:
            why = event.because if (event.field, event.new) == ("chamber", "") else ""
            yield from [(event, words)] if (words := "; ".join(filter(None, (event.note, why)))) else []


def noted_of(shelf: Shelf, key: str) -> tuple[Event, ...]:
    """The notes on that reel, the oldest first."""
    return notes_in_history(shelf).get(key, ())


def in_force(events: Iterable[Event]) -> Iterator[Event]:
    """Those events without notes that were taken back or off, and without the rows that tell of it.

    History keeps what was written: a later row says that a note was taken back, another that it stands again.
    """
    told, kept = list(events), []
    gone: set[tuple[str, str]] = set()
    off: set[tuple[str, str, str]] = set()
    for event in reversed(told):
        if event.kind != "reel" or event.field != NOTE:
            kept.append(event)
        elif (event.key, str(event.change)) in gone:
            continue
        elif takes := dict(event.extra).get(TAKES_BACK):
            gone.add((event.key, takes))
        elif takes := dict(event.extra).get(TAKES_OFF):
            off.add((event.key, takes, event.old))
        elif event.note and (event.key, _minute(event.at), event.note) not in off:
            kept.append(event)
    yield from reversed(kept)


def taken_off(note: Event, at: datetime) -> Event:
    """The row of history that takes that one note off its reel; the note's own row stays."""
    return Event(at, note.kind, note.key, NOTE, note.note, extra=((TAKES_OFF, _minute(note.at)),))


def of_another_shelf(events: Sequence[Event]) -> dict[int, tuple[Event, ...]]:
    """By their ids, those events as rows of a shelf on which their changes have no numbers.

    A note that does not stand there does not stand here: behind it comes a row that takes it off.
    """
    stands = {id(event) for event in in_force(events)}
    out: dict[int, tuple[Event, ...]] = {}
    for event in events:
        extra = tuple(cell for cell in event.extra if cell[0] not in (TAKES_BACK, TAKES_OFF))
        row = replace(event, change=0, extra=extra)
        gone = event.kind == "reel" and event.field == NOTE and event.note and id(event) not in stands
        out[id(event)] = (row, taken_off(row, row.at)) if gone else (row,)
    return out


def _minute(at: datetime) -> str:
    return f"{at.astimezone(UTC):%Y-%m-%dT%H:%M}Z"
