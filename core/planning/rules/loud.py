"""Loud decks run in loud time.

Kept as well by `facts/reading.py: _deck` (its runs, which lists and model take as they are) and, for a first
hearing, `with_hours` there, `bench/lists.py: enter_audition`, `bench/follow.py: _step`,
`solver/constraints.py: _free`, `bounds/evening_desk.py: _in_order`, `wishes/wished.py: closed` (dates);
by hand `core/evening/tonight/hours_asked.py: wanted`; loosened in `answers/relaxing.py: _loud`.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.planning.rules.case import Case, named, utc


def loud(case: Case) -> Iterator[str]:
    """Rule 7: a loud deck runs in loud time, and any deck for a first hearing."""
    decks = {deck.id for deck in case.shelf.studio.decks if deck.loud}
    for item in case.bench:
        bound = item.kind == "audition" or (item.kind in ("align", "transfer") and item.deck in decks)
        if bound and case.spans["loud"].holder(utc(item.start), utc(item.end)) is None:
            yield f"{named(item)} outside loud time"
