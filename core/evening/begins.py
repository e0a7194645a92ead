"""How an evening begins: what to fetch and from where, what to switch on, who comes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from core.evening.helper import needs_helper
from core.evening.sheet import RunSheet, Step
from core.shelf import Shelf
from core.studio.opening import opening
from core.words import counted, listed

#: Steps for which the tape itself is taken from the shelf.
BY_HAND = ("identify", "repair", "audition", "transfer")


@dataclass(frozen=True, slots=True)
class Fetch:
    """One place on the shelf, and the reels to take from it, each with the first step that wants it."""

    place: str
    reels: tuple[tuple[str, Step], ...]


def fetch_list(shelf: Shelf, sheet: RunSheet) -> tuple[Fetch, ...]:
    """What the evening's open steps want from the shelf, place by place in the order of their names.

    Numbers in names count as numbers: shelf 2 comes before shelf 10. What lies in a chamber is not fetched.
    """
    wanted: dict[str, Step] = {}
    for step in sheet.steps:
        for key in _tapes(step) if step.state in ("waiting", "running") else ():
            reel = shelf.reels.get(key)
            if reel is not None and not reel.chamber:
                wanted.setdefault(key, step)
    places: dict[str, list[tuple[str, Step]]] = {}
    for key, step in wanted.items():
        places.setdefault(shelf.reels[key].location, []).append((key, step))
    named = sorted(places, key=lambda place: (not place, _natural(place)))
    return tuple(Fetch(place, tuple(places[place])) for place in named)


def switched_on(shelf: Shelf, sheet: RunSheet) -> tuple[tuple[str, Step], ...]:
    """The decks and chambers that the open steps want, each with its first step, in the order of use."""
    found: dict[str, Step] = {}
    for step in sheet.steps:
        if step.state not in ("waiting", "running"):
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
    work = listed([f"the line-up of {step.subject} at {step.planned.start:%H:%M}" for step in wanted])
    if there:
        return f"the helper comes {spans}" + (f", for {work}" if work else ", and is not needed: tell them")
    return f"nobody comes, and {work} wants a helper" if work else ""


def in_short(shelf: Shelf, sheet: RunSheet) -> str:
    """All of it on one line: ``fetch 6 tapes from 3 places; switch on D1 and C1; the helper comes ...``."""
    places, on = fetch_list(shelf, sheet), [name for name, _ in switched_on(shelf, sheet)]
    tapes = sum(len(one.reels) for one in places)
    parts = [f"fetch {counted(tapes, 'tape')} from {counted(len(places), 'place')}"] if tapes else []
    parts += [f"switch on {listed(on)}"] if on else []
    helper = who_comes(shelf, sheet)
    return "; ".join([*parts, *([helper.partition(", for")[0]] if helper else [])])


def _tapes(step: Step) -> Iterator[str]:
    if step.kind == "load":
        yield from step.reels
    elif step.kind == "align" and step.item is not None and step.item.calibration:
        yield step.item.calibration
    elif step.kind in BY_HAND:
        yield step.subject


def _natural(text: str) -> tuple[tuple[int, int, str], ...]:
    pieces = re.split(r"(\d+)", text.casefold())
    return tuple((0, int(one), "") if one.isdigit() else (1, 0, one) for one in pieces if one)
