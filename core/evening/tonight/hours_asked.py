"""Looked at when a step starts: does the deck rest, may it be loud, is the helper there, is it lined up?

Asked about, never refused.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Literal

from core.clock import Span, evening_of, later, minutes_between
from core.evening.tonight.helper import needs_helper
from core.evening.tonight.patching import tape_minutes
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import deck_of_step
from core.evening.tonight.transfer import transfer_of
from core.shelf import Shelf
from core.standing.deck_rests import rests
from core.standing.gates import by_minute, not_lined_up, unmet
from core.studio.opening import Flag, opening
from core.studio.setup import setup_told
from core.values import dataclass
from core.words import day_text


@dataclass(frozen=True, slots=True)
class Outside:
    """A step that lacks the hours or the line-up it wants: which, and a sentence for the person."""

    hours: Literal["deck", "loud", "helper", "line-up"]
    says: str
    of: str = ""  # which line-up: another one is asked about anew


def outside_hours(shelf: Shelf, step: Step, at: datetime) -> tuple[Outside, ...]:
    """What stands against starting that step at that moment, by the studio's hours; nothing if they hold it.

    A deck that rests on that date, by its owner's wish or since it does not run, is asked about. A loud deck
    runs in loud time only, and a full line-up of a deck that says so has the helper there. A load asks for
    its home time by itself, with the reason kept (`reasons_asked`). A transfer wants its deck lined up to it
    in this bench window.
    """
    deck = shelf.studio.deck(step.item.deck) if step.item is not None else None
    if deck is None or step.item is None:
        return ()
    rest = deck_rests(shelf, step, at)
    out = [Outside("deck", f"{rest}.")] if rest else []
    lacks = lacking(shelf, wanted(shelf, step, at))
    if "loud" in lacks:
        start, end = lacks["loud"].start, lacks["loud"].end
        loud = opening(shelf.studio, "loud", start, end)
        until = "this is no loud time"
        if loud:
            span = loud[0]
            until = "loud time " + (
                f"begins {span.start:%H:%M}" if span.start > start else f"ends {span.end:%H:%M}"
            )
        out.append(Outside("loud", f"{deck.id} is loud until {end:%H:%M}, and {until}."))
    if "helper" in lacks:
        start, end = lacks["helper"].start, lacks["helper"].end
        there = opening(shelf.studio, "helper", start, end)
        hours = f"is there {there[0].start:%H:%M}-{there[0].end:%H:%M}" if there else "is not expected now"
        out.append(
            Outside("helper", f"A full line-up of {deck.id} wants a helper until {end:%H:%M}, who {hours}.")
        )
    why = lacks_line_up(shelf, step, at)
    if why is not None:
        out.append(Outside("line-up", f"{why[0].upper()}{why[1:]}.", why))
    return tuple(out)


def wanted(shelf: Shelf, step: Step, at: datetime, end: datetime | None = None) -> dict[Flag, Span]:
    """The hours that a step wants which begins then, to the minute; ``end``: when hands are done with it.

    A loud deck wants loud time while its tape runs: a transfer through all passes that are left, with the
    winds between them, not while it is threaded and cleaned. A full line-up with a helper wants the helper.
    """
    deck = shelf.studio.deck(step.item.deck) if step.item is not None else None
    if deck is None or step.item is None:
        return {}
    start = by_minute(at)
    over = by_minute(end or later(at, minutes=minutes_between(step.planned.start, step.planned.end)))
    out: dict[Flag, Span] = {}
    if deck.loud:
        runs = tape_minutes(shelf, step, at) if step.kind == "transfer" else None
        out["loud"] = Span(start, over if runs is None else by_minute(later(at, minutes=runs)))
    if needs_helper(shelf, step.item):
        out["helper"] = Span(start, over)
    return out


def lacking(shelf: Shelf, hours: Mapping[Flag, Span]) -> dict[Flag, Span]:
    """Those of the wanted hours that the studio's do not hold."""
    return {
        flag: span
        for flag, span in hours.items()
        if not any(
            one.holds(span.start, span.end) for one in opening(shelf.studio, flag, span.start, span.end)
        )
    }


def deck_rests(shelf: Shelf, step: Step, at: datetime) -> str:
    """That the step's deck is not to run on that date; empty where it may."""
    day, deck = evening_of(at.astimezone(shelf.studio.zone)), deck_of_step(step)
    closed = bool(deck) and rests(shelf, deck, day)
    return f"{deck} rests on {day_text(day)}: you wished so, or it does not run" if closed else ""


def lacks_line_up(shelf: Shelf, step: Step, at: datetime) -> str | None:
    """Why a transfer that starts then would play on a deck that is not lined up to it; None where it is."""
    if step.kind != "transfer" or step.item is None or not step.item.deck:
        return None
    if unmet(shelf, shelf.reel(step.subject), "transferred", at) is not None:
        return None  # it is not begun at all
    setup = transfer_of(shelf, step).reel.setup
    why = not_lined_up(shelf, step.item.deck, setup, at)
    return f"{why}: {step.subject} wants {setup_told(setup.words())}" if why is not None else None
