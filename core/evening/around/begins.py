"""How an evening begins: what to fetch and from where, what to switch on, who comes."""

from __future__ import annotations

from datetime import datetime

from core.evening.around.fetch import Fetch, by_place, to_fetch
from core.evening.tonight.helper import days_helped, needs_helper
from core.evening.tonight.sheet import RunSheet, Step
from core.shelf import Shelf
from core.studio.opening import opening
from core.words import counted, listed

_NOT_NEEDED = ", and is not needed: tell them"


def switched_on(shelf: Shelf, sheet: RunSheet) -> tuple[tuple[str, Step], ...]:
    """The decks and chambers that the open steps want, each with its first step, in the order of use."""
    found: dict[str, Step] = {}
    for step in sheet.steps:
        if step.state not in ("waiting", "running") or not step.fits:
            continue
        deck = step.item.deck if step.item is not None else ""
        name = deck or (step.subject if step.kind == "load" else "")
        if name and (shelf.studio.deck(name) or shelf.studio.chamber(name)):
            found.setdefault(name, step)
    return tuple(found.items())


def who_comes(shelf: Shelf, sheet: RunSheet) -> str:
    """``the helper comes 19:00-21:00, for the line-up of D1 at 19:00``; empty where nobody is to come."""
    wanted = [
        step
        for step in sheet.steps
        if step.state in ("waiting", "running") and step.item is not None and needs_helper(shelf, step.item)
    ]
    first, last = sheet.bench[0] if sheet.bench else None, sheet.bench[-1] if sheet.bench else None
    there = opening(shelf.studio, "helper", first.start, last.end) if first and last else ()
    spans = listed([f"{one.start:%H:%M}-{one.end:%H:%M}" for one in there])
    work = listed([f"the line-up of {step.subject} at {_begins(step):%H:%M}" for step in wanted])
    if there:
        done = sheet.day in days_helped(shelf)
        return f"the helper comes {spans}" + (f", for {work}" if work else "" if done else _NOT_NEEDED)
    return f"nobody comes, and {work} wants a helper" if work else ""


def _begins(step: Step) -> datetime:
    """When it now falls, where it has room."""
    return step.expected.start if step.expected is not None and step.fits else step.planned.start


def still_to_fetch(shelf: Shelf, sheet: RunSheet, at: datetime) -> tuple[Fetch, ...]:
    """What the evening's open steps want, along the places where it lies now; not what is in a chamber.

    A load that was planned and never began holds nothing: the shelf alone tells what is warm.
    """
    return tuple(one for one in to_fetch(shelf, None, sheet.steps, at) if not one.lies.chamber)


def in_short(shelf: Shelf, sheet: RunSheet, at: datetime, *, shortest: bool = False) -> str:
    """All of it on one line: ``fetch 6 tapes from 3 places; switch on D1 and C1; the helper comes ...``.

    ``shortest``: the same in the fewest words, for a line that has no room for more.
    """
    places = by_place(still_to_fetch(shelf, sheet, at))
    on = [name for name, _ in switched_on(shelf, sheet)]
    tapes = sum(len(rows) for rows in places.values())
    if shortest:
        told = [f"{counted(tapes, 'tape')}, {counted(len(places), 'place')}"] if tapes else []
        told += [f"on: {', '.join(on)}"] if on else []
        comes = who_comes(shelf, sheet)
        helper = comes.replace("the helper comes", "helper").partition(", ")[0]
        helper = "helper not needed" if comes.endswith(_NOT_NEEDED) else helper
        return "; ".join([*told, *([helper] if helper else [])])
    parts = [f"fetch {counted(tapes, 'tape')} from {counted(len(places), 'place')}"] if tapes else []
    parts += [f"switch on {listed(on)}"] if on else []
    helper = who_comes(shelf, sheet).partition(", for")[0]
    helper = helper.replace(_NOT_NEEDED, ", not needed")
    return "; ".join([*parts, *([helper] if helper else [])])
