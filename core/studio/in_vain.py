"""What of a studio's hours leaves a deck that nobody can line up: taken, and told with what to do."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from math import floor

from core.clock import days_later
from core.studio.opening import opening
from core.studio.studio import Studio
from core.words import listed

DAYS = 28  # for which hours are looked at


def hours_in_vain(studio: Studio, now: datetime) -> tuple[str, ...]:
    """A line for a slack that leaves no evening room for a full line-up, and for a helper who never comes."""
    return (*_slack(studio, now), *_helper(studio))


def _slack(studio: Studio, now: datetime) -> Iterator[str]:
    share, grid = studio.comfort.slack, studio.minutes.grid
    benches = [span.minutes for span in opening(studio, "bench", now, days_later(now, DAYS))]
    left = floor(max(benches, default=0) * (1 - share) / grid) * grid
    short = [deck for deck in studio.decks if deck.setup_minutes > left]
    if benches and short and share:
        most = max(deck.setup_minutes for deck in short)
        whose = f"a full line-up of {listed([deck.id for deck in short])} ({most} min)"
        leaves = f"slack {float(100 * share):g} % leaves at most {left} min of an evening"
        yield f"{leaves}, too few for {whose}: make it less"


def _helper(studio: Studio) -> Iterator[str]:
    decks = [deck.id for deck in studio.decks if deck.setup_needs_helper]
    comes = any(row.helper and not row.off for row in studio.hours)
    if decks and studio.hours and not comes:
        wants = f"{listed(decks)} want{'' if len(decks) > 1 else 's'} the helper for a full line-up"
        yield f"{wants}, and no hours have one: give one with `hours`, or setup_needs_helper = false"
