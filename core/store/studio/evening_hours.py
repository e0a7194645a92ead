"""One evening's hours changed at a time: the helper comes or not, as far as the week's own hours go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from core.errors import Refused, Unusable
from core.store.studio.clock_span import clock_span
from core.store.studio.hours_words import hours_set, row_words, spans_in_one, with_rows
from core.store.studio.readers import clock_words
from core.studio.opening import rows_on
from core.studio.studio import HoursRow, Studio
from core.words import day_text


def helper_turned(studio: Studio, day: date) -> tuple[Studio, bool]:
    """The studio in which the helper comes on that date, or stays away where they would come; and which.

    They come for as long as somebody is at the bench. Refused where nobody is.
    """
    rows = [replace(row, days=(), dates=(day,)) for row in rows_on(studio, day)]
    if not any(row.bench for row in rows):
        raise Refused(f"{day_text(day)}: nobody is at the bench: give its hours first")
    comes = not any(row.helper for row in rows)
    if comes:
        turned = [replace(row, helper=row.helper or row.bench) for row in rows]
    else:
        turned = [replace(row, helper=False) for row in rows if row.bench or row.home]
    return with_rows(studio, day, turned), comes


def moved(studio: Studio, words: Sequence[str], today: date) -> list[str]:
    """A date with one span alone, as the words of all its rows: the bench moves, and no more than that.

    Until when a loud deck may run stays, and so do the helper and when someone is home besides. On a day
    without a bench, or whose bench is over by then, a loud deck ends with the week's earliest. Words that
    say more than a span are as they were: they stand in place of the date's own.
    """
    words = [*words[:1], *spans_in_one(words[1:])]
    if len(words) != 2 or clock_span(words[1]) is None:
        return words
    try:
        made, day = hours_set(studio, words, today)
    except Unusable:
        return words  # whoever sets them says why
    if isinstance(day, str):
        return words
    own = rows_on(studio, day)
    at_bench = [row for row in own if row.bench]
    new = rows_on(made, day)[0]
    was = at_bench[-1] if at_bench else None
    loud = was.loud_until_minutes if was is not None else None
    loud = loud if loud is not None else end_of_loud(studio, was)
    new = _quiet(new, loud)
    if was is not None:
        new = replace(new, helper=was.helper, home=was.home)
    rows = (new, *(row for row in own if not row.bench))
    return [words[0], *" ".join(row_words(row) for row in rows).split()]


def _quiet(new: HoursRow, loud: int | None) -> HoursRow:
    """The new hours with a loud deck off from then on."""
    if loud is not None and loud <= new.from_minutes:
        clock = clock_words(loud)
        raise Unusable(f"hours: a loud deck may run until {clock}: say `loud` and a time where it may later")
    return replace(new, loud_until_minutes=loud if loud is not None and loud < new.to_minutes else None)


def end_of_loud(studio: Studio, was: HoursRow | None) -> int | None:
    """When a loud deck ends on the earliest evening of the week that tells it; None where none does.

    Hours that were over by then told no end, since they needed none.
    """
    ends = [
        row.loud_until_minutes for row in studio.hours if row.bench and row.loud_until_minutes is not None
    ]
    if not ends or not any(deck.loud for deck in studio.decks):
        return None
    return min(ends) if was is None or was.to_minutes <= min(ends) else None
