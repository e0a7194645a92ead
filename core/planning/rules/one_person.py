"""One person does one thing at a time, at the bench or at the chamber.

Kept as well by `facts/reading.py: _windows` (bench time, slack), `bench/diary.py: gap`,
`bench/diary.py: touch_blocked`, `solver/constraints.py: add_operator`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from fractions import Fraction
from functools import lru_cache
from math import ceil

from core.clock import Span, minutes_between
from core.planning.rules.case import Case, named, utc


def one_person(case: Case) -> Iterator[str]:
    """Rule 1: one thing at a time; items inside one bench window, before its slack; touches while home."""
    spans: list[tuple[datetime, datetime, str, bool]] = []
    for item in case.bench:
        spans.append((utc(item.start), utc(item.end), named(item), False))
        window = case.spans["bench"].holder(utc(item.start), utc(item.end))
        if window is None:
            yield f"{named(item)} is not inside one bench window"
        elif utc(item.end) > window.end - slack_of(case, window):
            yield f"{named(item)} ends in the part of its evening that is kept free"
    for load in case.loads:
        running = case.running(load)
        for touch in load.touches:
            start, end = utc(touch.start), utc(touch.end)
            if start >= case.start:
                spans.append((start, end, f"{touch.do} of {named(load)}", running))
            if not running and case.spans["home"].holder(start, end) is None:
                yield f"{touch.do} of {named(load)} while nobody is home"
    busy = sorted(span for span in spans if span[0] < span[1])
    latest = None
    for span in busy:
        if latest is not None and span[0] < latest[1] and not (span[3] and latest[3]):
            yield f"{span[2]} overlaps {latest[2]}"
        if latest is None or span[1] > latest[1]:
            latest = span


def slack_of(case: Case, window: Span) -> timedelta:
    """The last part of a bench window that stays free, rounded up to the grid."""
    return _slack(minutes_between(window.start, window.end), case.slack, case.shelf.studio.minutes.grid)


@lru_cache(maxsize=256)
def _slack(length: Fraction, share: Fraction, grid: int) -> timedelta:
    return timedelta(minutes=ceil(length * share / grid) * grid)
