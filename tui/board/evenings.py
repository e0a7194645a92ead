"""The week as a picture: evenings as rows, hours across; deck, chamber and person, from a plan."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from fractions import Fraction

from core.clock import Span, at_wall, clipped, joined, minutes_between
from core.evening.tonight.line_ups import made_before, made_with, what_for
from core.evening.tonight.provisional import provisional_words
from core.plan import Item, Plan, Touch
from core.reels.winding import no_fast_wind, slow_minutes
from core.shelf import Shelf
from core.standing.left_to_play import transfer_named
from core.studio.opening import opening
from core.studio.studio import Studio
from core.values import dataclass
from core.words import day_text
from tui.board.words import clock

NIGHT_ENDS = 4 * 60  # minutes past midnight until which the day before goes on


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the picture: a deck, a chamber or the person on one day."""

    who: str  # a deck, a chamber, or "you" for what is done by hand
    items: tuple[Item, ...]
    touches: tuple[Touch, ...] = ()


@dataclass(frozen=True, slots=True)
class Day:
    """One day: its bench windows, whether the helper comes, its rows, and free bench minutes."""

    day: date
    bench: tuple[Span, ...]
    helper: bool
    rows: tuple[Row, ...]
    free_minutes: int


@dataclass(frozen=True, slots=True)
class Week:
    """The days of a plan on which something is done or could be."""

    days: tuple[Day, ...] = ()
    first_minute: int = 17 * 60
    last_minute: int = 23 * 60

    @property
    def free_minutes(self) -> int:
        """Bench minutes in which nothing is planned."""
        return sum(day.free_minutes for day in self.days)

    @property
    def bench_minutes(self) -> int:
        """All bench minutes."""
        return sum(int(span.minutes) for day in self.days for span in day.bench)


def week(studio: Studio, plan: Plan) -> Week:
    """The plan's days from its start to its end; days with neither hours nor work are left out."""
    day, last = plan.start.date(), plan.until.date()
    days: list[Day] = []
    while day <= last:
        one = _day(studio, plan, day)
        if one.bench or one.rows:
            days.append(one)
        day += timedelta(days=1)
    first, end = _hours(days, plan.start)
    return Week(tuple(days), first, end)


def _day(studio: Studio, plan: Plan, day: date) -> Day:
    where = plan.start.tzinfo
    assert where is not None
    start, end = at_wall(day, NIGHT_ENDS, where), at_wall(day, NIGHT_ENDS + 24 * 60, where)
    window = Span(max(start, plan.start), min(end, plan.until))
    bench = clipped(opening(studio, "bench", start, end), window.start, window.end)
    there = opening(studio, "helper", start, end)
    helper = any(one.start < b.end and b.start < one.end for one in there for b in bench)
    items = [item for item in plan.items if item.end > start and item.start < end]
    busy = joined(Span(i.start, i.end) for i in items if i.kind != "condition")
    touches = [Span(t.start, t.end) for i in items for t in i.touches]
    taken = joined([*busy, *touches])
    used = [span for one in bench for span in clipped(taken, one.start, one.end)]
    free = sum((one.minutes for one in bench), Fraction(0)) - sum((one.minutes for one in used), Fraction(0))
    return Day(day, bench, helper, tuple(_rows(studio, items)), int(free))


def _rows(studio: Studio, items: list[Item]) -> Iterator[Row]:
    for deck in studio.decks:
        on_deck = tuple(i for i in items if i.deck == deck.id)
        if on_deck:
            yield Row(deck.id, on_deck)
    by_hand = tuple(i for i in items if not i.deck and i.kind != "condition")
    touches = tuple(t for i in items for t in i.touches)
    if by_hand or touches:
        yield Row("you", by_hand, touches)
    for chamber in studio.chambers:
        in_chamber = tuple(i for i in items if i.chamber == chamber.id)
        if in_chamber:
            yield Row(chamber.id, in_chamber)


def _hours(days: list[Day], where: datetime) -> tuple[int, int]:
    """The hours across: whole hours that hold all bench windows and steps; loads that run on are cut."""
    marks: list[int] = []
    for day in days:
        spans = [
            *day.bench,
            *(Span(i.start, i.end) for r in day.rows for i in r.items if i.kind != "condition"),
        ]
        spans += [Span(t.start, t.end) for r in day.rows for i in r.items for t in i.touches]
        for span in spans:
            for moment in (span.start, span.end):
                minute = minute_of(day.day, moment)
                if 0 <= minute <= 28 * 60:
                    marks.append(minute)
    if not marks:
        return 17 * 60, 23 * 60
    return min(marks) // 60 * 60, -(-max(marks) // 60) * 60


def minute_of(day: date, moment: datetime) -> int:
    """Minutes past the day's midnight on the clock; past 24 h for the night that follows."""
    wall = moment.replace(tzinfo=None, fold=0)
    return (wall.date() - day).days * 24 * 60 + wall.hour * 60 + wall.minute


def item_words(shelf: Shelf, item: Item, plan: Plan) -> str:
    """An item of that plan in words: clock times, what it is for, what it takes for granted."""
    when = f"{item.start:%H:%M}-{item.end:%H:%M}"
    if item.kind == "align":
        how = f"{'full line-up' if item.full else 'touch-up'}, {made_with(shelf, plan, item)}"
        purpose = what_for(shelf, plan, item)
        if made_before(shelf, item):
            return f"{when} {item.deck} stands at {item.setup_told} already: nothing to line up"
        return f"{when} line up {item.deck} to {item.setup_told} ({how})" + (f" {purpose}" if purpose else "")
    rests = provisional_words(item)
    rests = f"; {rests}" if rests else ""
    if item.kind == "condition":
        touches = ", ".join(f"{t.do} {t.start:%H:%M}" for t in item.touches[:6])
        load = f"{when} chamber {item.chamber}: {', '.join(item.reels)} at {item.temperature}; {touches}"
        return f"{load}{rests}"
    minutes = int(minutes_between(item.start, item.end))
    deck = f" on {item.deck}" if item.deck else ""
    return f"{when} {item.kind} {item.reel}{deck}, {minutes} min{rests}{_slow_wind(shelf, item)}"


def _slow_wind(shelf: Shelf, item: Item) -> str:
    """A wind for which this transfer has no time, since it must not be a fast one; else nothing."""
    reel = shelf.reels.get(item.reel) if item.kind == "transfer" and not item.segment else None
    if reel is None or transfer_named(shelf, reel, "").stands is not None:
        return ""
    own = shelf.own_stocks()
    told = no_fast_wind(reel, shelf.studio, own) if slow_minutes(reel, shelf.studio, own) else ""
    return f"; {told}" if told else ""


def day_clock(moment: datetime) -> str:
    """``Tue 1 Dec 19:05``."""
    return f"{day_text(moment.date())} {clock(moment)}"


def same_item(one: Item, other: Item) -> bool:
    """True if both are the same work at the same time."""
    return (one.kind, one.reels, one.deck, one.chamber, one.start) == (
        other.kind,
        other.reels,
        other.deck,
        other.chamber,
        other.start,
    )
