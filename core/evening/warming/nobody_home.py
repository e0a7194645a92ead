"""Is somebody home while a chamber is warm? By the studio's hours, from a load's start to its last touch."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from core.clock import Span, clipped, later
from core.reels.needs import heated_hours
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.opening import opening
from core.studio.studio import Chamber
from core.words import listed


def away_from_home(shelf: Shelf, chamber: Chamber, reels: Sequence[Reel], at: datetime) -> str:
    """Why a load is not watched from its start to the end of its last touch; empty where it is."""
    end = later(hours_up(shelf, reels, at), minutes=chamber.touch_minutes)
    home = clipped(opening(shelf.studio, "home", at, end), at, end)
    if Span(at, end) in home:
        return ""
    alone = " and ".join(f"{one.start:%a %H:%M} to {one.end:%a %H:%M}" for one in _between(home, at, end))
    return f"by the hours nobody is home {alone}: a warm chamber is never left alone"


def left_alone(before: Shelf, after: Shelf) -> tuple[str, ...]:
    """A sentence for each chamber that is warm while nobody is home by hours that were changed just now."""
    told = []
    for chamber in after.studio.chambers:
        inside = [
            one for one in after.reels.values() if one.chamber == chamber.id and one.loaded_at is not None
        ]
        began = min((one.loaded_at for one in inside if one.loaded_at is not None), default=None)
        away = away_from_home(after, chamber, inside, began) if began is not None else ""
        if began is not None and away and away != away_from_home(before, chamber, inside, began):
            told.append(f"{chamber.id} is warm with {listed([one.key for one in inside])}: {away}")
    return tuple(told)


def hours_up(shelf: Shelf, reels: Sequence[Reel], at: datetime) -> datetime:
    """When the last of those reels has had its hours, in the heat since that moment."""
    courses = [(reel, shelf.studio.treatment(reel.width)) for reel in reels]
    hours = [heated_hours(reel, course) for reel, course in courses if course is not None]
    return later(at, hours=max(hours, default=0))


def _between(spans: Iterable[Span], start: datetime, end: datetime) -> Iterator[Span]:
    """What of that stretch of time lies in none of the spans."""
    for span in sorted(spans):
        if span.start > start:
            yield Span(start, span.start)
        start = max(start, span.end)
    if start < end:
        yield Span(start, end)
