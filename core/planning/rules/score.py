"""The score, the songs and what is left over are what the items make them.

Kept as well by `bench/draft.py: cost`, `solver/objective.py: add_objective`,
`solver/comfort.py: add_comfort`, `bounds/bounds.py: quick_bound`, `bounds/evening_rows.py: programme_of`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from itertools import pairwise

from core.clock import at_wall
from core.planning.rules.case import Case, minutes_of, utc

MICROSECOND = timedelta(microseconds=1)
HOUR = 3_600_000_000  # microseconds


def scored(case: Case) -> Iterator[str]:
    """Rule 10: songs and reels by how long they wait, line-ups, and hours that a warm chamber ties."""
    ends = {r.key: utc(i.end) for r in case.transferable() for i in case.of("verify", r)}
    comfort = case.shelf.studio.comfort
    score = _waiting(case, ends)
    aligned = sum(Fraction(minutes_of(item)) for item in case.bench if item.kind == "align")
    score += comfort.line_up_hour * aligned / 60 + comfort.tied_hour * tied_hours(case)
    if abs(float(score) - case.plan.score) > 0.0002:
        yield f"the score is {float(score):.4f}, not {case.plan.score}"
    if case.plan.bound > case.plan.score + 0.0002:
        yield f"the bound {case.plan.bound} is above the score {case.plan.score}"
    undone = {r.key for r in case.transferable() if not r.past("verified") and r.key not in ends}
    if {row.reel for row in case.plan.left_over} != undone:
        yield "what is left over is not what has work left"


def _waiting(case: Case, ends: dict[str, datetime]) -> Fraction:
    hours = Fraction(0)
    for reel in case.transferable():
        if not reel.past("verified") and reel.key not in case.out_of_score:
            hours += Fraction(1, 100) * _waited(case, ends.get(reel.key))
    for song in case.shelf.songs.values():
        reels = [case.reels[n.reel] for n in song.needs if n.reel in case.reels]
        barred = any(reel.key in case.out_of_score for reel in reels)
        if song.album and not barred and len(reels) == len(song.needs):
            left = [reel.key for reel in reels if not reel.past("verified")]
            if any(key not in ends for key in left):
                hours += song.priority * _waited(case, None)
            elif left:
                hours += song.priority * _waited(case, max(ends[key] for key in left))
    return hours


def _waited(case: Case, end: datetime | None) -> Fraction:
    if end is None:
        return _hours(case.until - case.start) * Fraction(3, 2)
    return _hours(counted(case, end) - case.start)


def counted(case: Case, end: datetime) -> datetime:
    """The moment up to which a wait counts that ends then: the next 04:00, or the end itself."""
    if case.shelf.studio.comfort.count == "hours":
        return end
    zone = case.shelf.studio.zone
    day = end.astimezone(zone).date()
    nights = (at_wall(day + timedelta(days=n), 4 * 60, zone).astimezone(UTC) for n in (0, 1, 2))
    return next(night for night in nights if night >= end)


def tied_hours(case: Case) -> Fraction:
    """Hours outside bench time in which at least one load runs, from its start or the plan's to its end."""
    edges = {moment for span in case.spans["bench"].spans for moment in (span.start, span.end)}
    loads = [(max(utc(load.start), case.start), utc(load.end)) for load in case.loads]
    loads = [(start, end) for start, end in loads if start < end]
    cuts = sorted(edges | {moment for load in loads for moment in load})
    total = timedelta(0)
    for first, last in pairwise(cuts):
        runs = any(start <= first and last <= end for start, end in loads)
        if runs and case.spans["bench"].holder(first, last) is None:
            total += last - first
    return _hours(total)


def _hours(gone: timedelta) -> Fraction:
    return Fraction(gone // MICROSECOND, HOUR)
