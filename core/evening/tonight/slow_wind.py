"""A slow wind as a step of its own: made on an evening before the tape plays, or just before it.

No plan holds it. It is offered where an evening has time left, and asked for by the key that starts the pass.
It runs by itself on its deck; when it is over the tape lies heads out.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from core.clock import Span, evening_of, later
from core.evening.tonight.patching import slow_first
from core.evening.tonight.planned_step import step_key
from core.evening.tonight.sheet import OFFERED, WIND, Step
from core.logbook.steps import taken
from core.reels.winding import no_fast_wind
from core.shelf import Shelf
from core.words import day_text


def wind_before(shelf: Shelf, transfer: Step, now: datetime) -> Step | None:
    """The slow wind before that transfer, laid from now on; None where none comes before it."""
    minutes = slow_first(shelf, transfer)
    if not minutes or transfer.item is None:
        return None
    start = transfer.planned.start
    planned = Span(start, later(start, minutes=minutes))
    item = replace(transfer.item, kind=WIND, end=planned.end, passes=0, assumes=())
    moment = now.replace(second=0, microsecond=0)
    falls = Span(moment, later(moment, minutes=minutes))
    key = step_key(WIND, transfer.subject, start)
    before = sum(one.startswith(key) for one in taken(shelf))  # a tape of several passes is wound for each
    key += f" again {before}" if before else ""
    return Step(
        key, WIND, transfer.subject, planned, OFFERED, item=item, reels=(transfer.subject,), expected=falls
    )


def wind_words(shelf: Shelf, step: Step) -> tuple[str, ...]:
    """What is to be known before that wind: how slowly, which way the tape lies, for which evening."""
    reel = shelf.reel(step.subject)
    slowly = no_fast_wind(reel, shelf.studio, shelf.own_stocks())
    lies = "tails out: wind it to its head" if reel.wind else "wind not known: look; if tails out, wind it"
    begins = step.started or (step.expected or step.planned).start
    tonight = evening_of(begins) == evening_of(step.planned.start)
    later_on = "" if tonight else f"plays {_day(step)}; it stays heads out until then"
    return tuple(one for one in (slowly, lies, later_on) if one)


def not_wound(shelf: Shelf, transfer: Step) -> str:
    """``R-001 lies tails out; no fast winding: 33 min at 15 ips``; empty where no slow wind comes first.

    Asked only where it is written that the tape lies so.
    """
    if not slow_first(shelf, transfer) or not shelf.reel(transfer.subject).wind:
        return ""
    reel = shelf.reel(transfer.subject)
    return f"{reel.key} lies tails out; {no_fast_wind(reel, shelf.studio, shelf.own_stocks())}"


def _day(step: Step) -> str:
    return f"{day_text(step.planned.start.date())} {step.planned.start:%H:%M}"
