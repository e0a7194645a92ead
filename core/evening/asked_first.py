"""What a step that waits would ask first, of its tapes and its chamber: told beside it, by whichever face."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from core.conditioning.beyond_published import chamber_first
from core.conditioning.box_asked import boxes_meanwhile
from core.conditioning.loads.trial import empty_runs
from core.conditioning.spreading.handled import OPENED, handled
from core.conditioning.spreading.shared_air import to_be_looked_at
from core.conditioning.warmth_in_doubt import warmth_in_doubt
from core.evening.tonight.before_pass import lapses_before
from core.evening.tonight.sheet import OFFERED, PLAYS, Step
from core.evening.tonight.steps import tape_of
from core.evening.warming.load import warmed_again
from core.evening.warming.warm import warm_beside
from core.plan import Item, Plan
from core.shelf import Shelf


def asked_first(shelf: Shelf, step: Step) -> tuple[str, ...]:
    """A sentence for each thing that is asked before that step begins; of a look or a repair how it is done.

    Of what is under way nothing else is told.
    """
    if step.kind in OPENED and step.state in ("running", "waiting", OFFERED):
        return tuple(_at_the_table(shelf, step.kind, step.subject, asks=step.state != "running"))
    if step.state not in ("waiting", OFFERED):
        return ()
    if step.touch and step.kind != "load":
        boxes = boxes_meanwhile(shelf)
        return tuple(boxes[key] for key in step.reels if key in boxes)
    if step.kind == "load":
        return tuple(_asked(shelf, step.reels, step.subject))
    return (*_asked(shelf, (tape_of(step),)), *_lapses(shelf, step))


def warm_at_step(shelf: Shelf, plan: Plan | None, step: Step, now: datetime) -> str:
    """``warm_beside`` of a step of this evening, as it now falls; empty for all but a repair."""
    if step.kind != "repair" or step.state not in ("waiting", "running", OFFERED):
        return ""
    when = step.expected or step.planned
    start = min(step.started or when.start, when.start)
    return warm_beside(shelf, plan, start, max(when.end, now), empty_runs(shelf, plan, now))


def _lapses(shelf: Shelf, step: Step) -> Iterator[str]:
    """That a treated tape is playable for less long than its pass now falls."""
    reel = shelf.reels.get(step.subject) if step.kind == "transfer" else None
    lapses = lapses_before(shelf, reel, (step.expected or step.planned).end) if reel is not None else ""
    yield from [f"{step.subject}: {lapses}"] if lapses else ()


def asked_of_item(shelf: Shelf, item: Item) -> tuple[str, ...]:
    """The same of a step as the plan has it."""
    if item.kind in OPENED:
        return tuple(_at_the_table(shelf, item.kind, item.reel))
    if item.kind == "condition":
        return tuple(_asked(shelf, item.reels, item.chamber))
    if item.kind not in (*PLAYS, "align"):
        return ()
    return tuple(_asked(shelf, (item.calibration if item.kind == "align" else item.reel,)))


def in_short(asked: str) -> str:
    """What is asked without what to do about it: ``W-1 says "mould" on its box``, ``W-1: it ...``."""
    head, colon, rest = asked.partition(": ")
    return head if " " in head else f"{head}{colon}{rest.partition(': ')[0]}"


def _at_the_table(shelf: Shelf, kind: str, key: str, *, asks: bool = True) -> Iterator[str]:
    """How a tape that may have mould is handled; what is asked before its repair, in which it is wound."""
    reel, care = shelf.reels.get(key), handled(shelf, key)
    yield from [care] if care else ()
    look = to_be_looked_at(shelf, reel) if reel is not None and kind == "repair" and asks else ""
    yield from [f"{key} {look}"] if look else ()


def _asked(shelf: Shelf, keys: Sequence[str], chamber: str = "") -> Iterator[str]:
    yield from chamber_first(shelf, chamber) if chamber else ()
    for reel in [shelf.reels[key] for key in keys if key in shelf.reels]:
        look = to_be_looked_at(shelf, reel)
        doubt = "" if chamber or warmed_again(shelf, reel) else warmth_in_doubt(shelf, reel)
        yield from [f"{reel.key} {look}"] if look else ()
        yield from [f"{reel.key}: {doubt}"] if doubt else ()
