"""The problem with one more evening on some date, or with more days, as the shelf would be read then."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta

from core.plan import Plan
from core.planning.answers.remedy import Change, ChangeKind, Remedy
from core.planning.facts.problem import Problem
from core.planning.facts.reading import with_hours
from core.planning.wishes.wished import day_of, minute_at, read_plain, read_wished, wished
from core.planning.wishes.wishes import Wishes
from core.shelf import Shelf
from core.studio.opening import rows_on
from core.studio.studio import HoursRow, Studio
from core.words import day_text, hours_text

_AS_IT_IS = ""  # among what was read: with the hours as they are
MOST_DATES = 8  # dates that are tried, the first ones without bench hours


def usual_evening(studio: Studio) -> tuple[int, int]:
    """From and to of the bench hours that most weekdays have; 19:00 to 22:00 where there are none."""
    days: dict[tuple[int, int], set[str]] = {}
    for row in studio.hours:
        if row.bench and row.days:
            days.setdefault((row.from_minutes, row.to_minutes), set()).update(row.days)
    return max(days, key=lambda span: (len(days[span]), -span[0]), default=(19 * 60, 22 * 60))


def open_on(studio: Studio, day: date, begin: int, end: int, *, helper: bool = False) -> Studio:
    """The studio with bench time on one date, beside what its hours are already."""
    there = tuple(replace(row, days=(), dates=(day,)) for row in rows_on(studio, day))
    others = tuple(row for row in (without_date(row, day) for row in studio.hours) if row is not None)
    more = HoursRow((), (day,), begin, end, bench=True, home=True, helper=helper)
    return replace(studio, hours=(*others, *there, more))


def without_date(row: HoursRow, day: date) -> HoursRow | None:
    """The row without that one of its dates; None where it has no other day."""
    if day not in row.dates:
        return row
    dates = tuple(one for one in row.dates if one != day)
    return replace(row, dates=dates) if dates or row.days else None


def dates_without_bench(problem: Problem, start: datetime, until: datetime) -> list[date]:
    """The dates of the plan on which nobody is at work yet."""
    busy = {day_of(problem, w.start) for w in problem.windows}
    days = ((start + timedelta(days=n)).date() for n in range((until.date() - start.date()).days + 1))
    return [day for day in days if day not in busy]


def more_evenings(
    shelf: Shelf, plan: Plan, problem: Problem, last: int, known: dict[str, Problem], wishes: Wishes
) -> Iterator[Remedy]:
    """One more evening, date by date; then the same with the helper there, where a deck asks for one.

    ``known`` keeps what was read already, by its words.
    """
    begin, end = usual_evening(shelf.studio)
    days = (plan.until.date() - plan.start.date()).days
    dates = dates_without_bench(problem, plan.start, plan.until)[:MOST_DATES]
    wanted = any(deck.setup_needs_helper for deck in shelf.studio.decks)
    for helper in (False, True) if wanted else (False,):
        for day in dates:
            if minute_at(problem, day, begin) >= last:
                break
            company = " with the helper there" if helper else ""
            words = f"one more evening of {hours_text(end - begin)} on {day_text(day)}{company}"
            if words not in known:
                studio = open_on(shelf.studio, day, begin, end, helper=helper)
                if _AS_IT_IS not in known:
                    known[_AS_IT_IS] = read_plain(shelf, plan.start, days, wishes)
                known[words] = wished(with_hours(known[_AS_IT_IS], studio), wishes)
            kind: ChangeKind = "bench and helper" if helper else "bench"
            yield Remedy(words, known[words], Change(kind, day, begin, end))


def longer_plan(shelf: Shelf, plan: Plan, known: dict[str, Problem], wishes: Wishes) -> Iterator[Remedy]:
    """The same plan over one week more, and over two."""
    days = (plan.until.date() - plan.start.date()).days
    for more in (7, 14):
        words = f"planning {days + more} days in place of {days}"
        if words not in known and days + more <= 800:
            known[words] = read_wished(shelf, plan.start, days + more, wishes)
        if words in known:
            yield Remedy(words, known[words], Change("days", count=days + more))
