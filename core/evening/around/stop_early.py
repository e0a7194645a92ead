"""An evening ends early, falls away, or one is added: the hours of that date, and what that leaves to do."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime

from core.clock import clock_text, evening_of, minutes_between
from core.errors import Refused
from core.evening.around.closing_look import HANDS, PERHAPS
from core.evening.around.fetch import wanted_reels
from core.evening.around.hours import with_date
from core.evening.around.where_it_lies import place_told, where_it_lies
from core.evening.playing.passes import TapePass, passes_of
from core.evening.tonight.hours_asked import wanted
from core.evening.tonight.sheet import RunSheet, Step
from core.shelf import Shelf
from core.studio.opening import opening, rows_on
from core.studio.studio import HoursRow
from core.words import day_text, listed


def stops_at(shelf: Shelf, at: datetime, *, home: bool) -> Shelf:
    """The shelf with the bench hours of that evening ending then, loud ones with them.

    With ``home`` somebody stays to watch a chamber as long as was meant; else the house is left at ``at``.
    """
    day = evening_of(at)
    rows = rows_on(shelf.studio, day)
    if not any(row.bench for row in rows):
        raise Refused(f"there are no bench hours on {day_text(day)}")
    wall = at.replace(tzinfo=None, fold=0)
    minute = (wall.date() - day).days * 24 * 60 + wall.hour * 60 + wall.minute
    return with_date(shelf, day, [part for row in rows for part in _cut(row, minute, home=home)])


def without_bench(shelf: Shelf, day: date, *, home: bool) -> Shelf:
    """The shelf with no bench hours on that date; with ``home`` somebody is there as before."""
    rows = rows_on(shelf.studio, day)
    if not any(row.bench for row in rows):
        raise Refused(f"there are no bench hours on {day_text(day)}")
    kept = [
        replace(row, bench=False, helper=False, loud_until_minutes=None) for row in rows if home and row.home
    ]
    return with_date(shelf, day, kept)


def _cut(row: HoursRow, minute: int, *, home: bool) -> Iterable[HoursRow]:
    """What of a row comes before that minute of the day, and what of it stays as time at home after it."""
    end = min(row.to_minutes, minute)
    if row.from_minutes < end:
        loud = row.loud_until_minutes
        yield replace(row, to_minutes=end, loud_until_minutes=None if loud is None else min(loud, end))
    first = max(row.from_minutes, minute)
    if home and row.home and first < row.to_minutes:
        yield replace(row, from_minutes=first, bench=False, helper=False, loud_until_minutes=None)


def put_away(shelf: Shelf, sheet: RunSheet, at: datetime, now: datetime) -> tuple[str, ...]:
    """What whoever stops at that moment must put away: the tape on the deck, tapes out of their places."""
    runs = (tape for tape in passes_of(shelf, now) if tape.state == "running")
    out = [_on_the_deck(tape, now, at) for tape in runs]
    handled = [step for step in sheet.steps if step.handled and step.kind != "verify"]  # files alone
    keys = [step.subject for step in handled]
    keys += [key for step in handled if step.kind == "align" for key in wanted_reels(step)]
    touched = dict.fromkeys(key for key in keys if key in shelf.reels)
    places: dict[str, list[str]] = {}
    for key in touched:
        reel = shelf.reels[key]
        if not reel.chamber:
            places.setdefault(place_told(shelf, reel.location) or "its place", []).append(key)
    out += [f"back to {place}: {listed(keys)}" for place, keys in places.items()]
    out += _if_fetched(shelf, sheet, touched, now)
    decks = [deck.id for deck in shelf.studio.decks if _used(sheet, deck.id)]
    return (*out, *([f"switch off {listed(decks)}"] if decks else []))


def _if_fetched(shelf: Shelf, sheet: RunSheet, touched: Iterable[str], now: datetime) -> list[str]:
    """The tapes of what waits still, place by place: they may lie there since the evening began."""
    waits = [one for one in sheet.waiting if one.kind in (*HANDS, "load")]
    keys = dict.fromkeys(key for one in waits for key in wanted_reels(one) if key in shelf.reels)
    places: dict[str, list[str]] = {}
    for key in keys:
        reel = shelf.reels[key]
        if key not in touched and not reel.chamber and not where_it_lies(shelf, None, key, now).aside:
            places.setdefault(place_told(shelf, reel.location) or "its place", []).append(key)
    return [f"back to {place}, {PERHAPS}: {listed(keys)}" for place, keys in places.items()]


def broken_off(tape: TapePass, now: datetime, at: datetime) -> int:
    """The minutes of a tape that runs which would still be to come at that moment.

    Less than a minute is its end: nobody breaks a pass off some seconds before it.
    """
    return max(0, int(minutes_between(at, tape.ends(now))))


def _on_the_deck(tape: TapePass, now: datetime, at: datetime) -> str:
    """What becomes by then of a tape that runs now: it is over, or to be stopped on its way."""
    more = broken_off(tape, now, at)
    if tape.left and more <= 0:
        return f"{tape.reel} is over by {tape.ends(now):%H:%M}: take it off"
    place = clock_text(int(tape.position + float(minutes_between(now, at)) * 60))
    rest = f"; it would run {more} min more" if more > 0 else ""
    return f"{tape.reel} plays, at {place} then: stop it, and take it off{rest}"


def unwatched(shelf: Shelf, touches: Sequence[Step], after: datetime) -> tuple[str, ...]:
    """The touches of running loads from then on at which nobody is home, a sentence for each chamber.

    A warm chamber is never left alone: the load is broken off before, or somebody stays.
    """
    found: dict[str, list[Step]] = {}
    for touch in touches:
        start, end = touch.planned.start, touch.planned.end
        if start >= after and not any(
            one.holds(start, end) for one in opening(shelf.studio, "home", start, end)
        ):
            found.setdefault(touch.subject, []).append(touch)
    return tuple(_alone(chamber, late[:3]) for chamber, late in found.items())


def _alone(chamber: str, late: Sequence[Step]) -> str:
    named = listed([f"{one.kind} at {one.planned.start:%a %H:%M}" for one in late])
    return f"{chamber}: nobody is home for the {named}: break the load off before, or have somebody stay"


def quiet_after(shelf: Shelf, sheet: RunSheet) -> tuple[str, ...]:
    """The loud steps of tonight that have no room any more, by the rows as they are with that stop."""
    late = [
        step.subject
        for step in sheet.will_not_fit
        if step.subject in shelf.reels and step.expected is not None
        if "loud" in wanted(shelf, step, step.expected.start, step.expected.end)
    ]
    return (f"not tonight any more, since it is loud: {listed(list(dict.fromkeys(late)))}",) if late else ()


def _used(sheet: RunSheet, deck: str) -> bool:
    return any(step.started and step.item is not None and step.item.deck == deck for step in sheet.steps)
