"""Changes of a studio, to be tried: more hours, the helper on one more day, trays, inputs, no slack."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from fractions import Fraction

from core.planning.answers.more_hours import open_on, usual_evening, without_date
from core.studio.opening import Flag, rows_on
from core.studio.studio import HoursRow, Studio

Change = Callable[[Studio], Studio]


def another_evening(days: tuple[str, ...], begin: int, end: int) -> Change:
    """One more evening a week on these weekdays (``mon`` ...), minutes past midnight; bench and home."""
    row = HoursRow(days, (), begin, end, bench=True, home=True)
    return lambda studio: replace(studio, hours=(*studio.hours, row))


def on_date(day: date, begin: int, end: int) -> Change:
    """Bench time on one date, beside what its hours are already."""
    return lambda studio: open_on(studio, day, begin, end)


def more_trays(chamber: str, trays: int) -> Change:
    """So many trays in that chamber."""
    return lambda studio: replace(
        studio, chambers=tuple(replace(c, trays=trays) if c.id == chamber else c for c in studio.chambers)
    )


def more_inputs(inputs: int) -> Change:
    """So many inputs of the recorder."""
    return lambda studio: (
        studio if studio.capture is None else replace(studio, capture=replace(studio.capture, inputs=inputs))
    )


def helper_on(days: tuple[str, ...]) -> Change:
    """The helper is there in all bench time of these weekdays."""

    def change(studio: Studio) -> Studio:
        rows = tuple(
            HoursRow(days, (), row.from_minutes, row.to_minutes, helper=True)
            for row in studio.hours
            if row.bench and set(days) & set(row.days)
        )
        return replace(studio, hours=(*studio.hours, *rows))

    return change


def helper_that_day(day: date) -> Change:
    """The helper is there in all bench time of that date; in a usual evening's where it has none."""

    def change(studio: Studio) -> Studio:
        bench = [row for row in rows_on(studio, day) if row.bench]
        spans = [(row.from_minutes, row.to_minutes) for row in bench] or [usual_evening(studio)]
        for begin, end in spans:
            studio = there_on("helper", day, begin, end)(studio)
        return studio

    return change


def there_on(flag: Flag, day: date, begin: int, end: int) -> Change:
    """The helper, or someone at home, from and to these minutes of one date, beside what its hours are."""

    def change(studio: Studio) -> Studio:
        own = () if any(day in row.dates for row in studio.hours) else rows_on(studio, day)
        kept = tuple(replace(row, days=(), dates=(day,)) for row in own)
        who = {"helper": flag == "helper", "home": flag == "home"}
        return replace(studio, hours=(*studio.hours, *kept, HoursRow((), (day,), begin, end, **who)))

    return change


def loud_on(day: date, begin: int, end: int) -> Change:
    """The bench hours of one date in which that minute lies are loud up to the other."""

    def change(studio: Studio) -> Studio:
        rows = (replace(row, days=(), dates=(day,)) for row in rows_on(studio, day))
        louder = tuple(
            replace(row, loud_until_minutes=max(end, row.loud_until_minutes or row.to_minutes))
            if row.bench and row.from_minutes <= begin < row.to_minutes
            else row
            for row in rows
        )
        others = tuple(row for one in studio.hours if (row := without_date(one, day)) is not None)
        return replace(studio, hours=(*others, *louder))

    return change


def with_slack(share: Fraction) -> Change:
    """That share of every bench window kept free."""
    return lambda studio: replace(studio, comfort=replace(studio.comfort, slack=share))
