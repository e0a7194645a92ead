"""A chamber's empty run on the work order: when there is time for it, and lines for what is read by then."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import KeepTogether
from reportlab.platypus.flowables import Flowable

from core.clock import evening_of, later
from core.conditioning.loads.limits import limits_of
from core.conditioning.loads.trial import EmptyRun, empty_runs, is_first, trial_words
from core.paper.evening.conditioning_log import limits
from core.paper.look.evenings import Evening
from core.paper.look.line_order import said
from core.paper.look.look import Cell, Tick, gap, section, table
from core.paper.look.text import CLOCK, DECK, DECK_STRONG, Text
from core.paper.look.words import clock, warmth
from core.plan import Item, Plan
from core.shelf import Shelf
from core.words import day_text

_TALL, _CLOSER = 20.0, 16.0
_READ = ("second thermometer, one place", "second thermometer, another place")


def before_load(shelf: Shelf, plan: Plan, load: Item) -> str:
    """That the chamber had no empty run yet, before its first load, and which evening was named for it.

    It is told without a tense: the order is printed before that time as well as behind it.
    """
    asked = trial_words(shelf, load.chamber) if is_first(shelf, plan, load) else ""
    named = (one for one in empty_runs(shelf, plan, plan.start) if one.load == load.start)
    due = next((one for one in named if asked and one.chamber == load.chamber), None)
    if due is None or due.start is None or due.end is None:
        return asked
    day = day_text(evening_of(due.start))
    return f"{asked} The time for it by the plan: {day} {due.start:%H:%M} to {due.end:%H:%M}."


def run_lines(shelf: Shelf, plan: Plan, evening: Evening, wide: float, *, close: bool) -> Iterator[Flowable]:
    """A section for each empty run of the evening: boxes to tick, two readings with places to fill in."""
    for run in evening.empty:
        load = _load_behind(plan, run)
        head = ["", "from", "do", "done at", "place", "reads"]
        rows = list(_rows(shelf, run, warmth(load.temperature)))
        lines = table(
            head,
            rows,
            [4, 10, 44, 12, 18, 12],
            column=wide,
            type_=DECK,
            box=True,
            tall=_CLOSER if close else _TALL,
        )
        spread = f"The two places differ by no more than {limits_of(shelf).trial_spread_c:g} °C."
        told = f"{limits(load, 'switch off, door open')} {spread}"
        name = said(run.chamber)
        back = f'chamber {name} --empty-run, then chamber {name} --read "53.5 C top" (--at: the hour it was)'
        typed = Text(f"Typed in: {back}", DECK)
        title = f"Empty run of {name}, no tape in it"
        _, heading, *rest = section(title, Text(told, DECK), gap(2), lines, gap(2), typed)
        yield KeepTogether([heading, *rest])  # kept together it needs no break of its own


def _load_behind(plan: Plan, run: EmptyRun) -> Item:
    loads = (one for one in plan.items if one.kind == "condition" and one.chamber == run.chamber)
    return next(one for one in loads if one.start == run.load)


def _rows(shelf: Shelf, run: EmptyRun, to: str) -> Iterator[list[Cell]]:
    if run.start is None or run.end is None:
        return
    warm = later(run.start, minutes=limits_of(shelf).settle_minutes)
    set_to = f"on, set to {to}" if to else "on"
    yield [Tick(), Text(clock(run.start), CLOCK), Text(set_to, DECK_STRONG), "", "its dial", ""]
    for what in _READ:
        yield [Tick(), Text(clock(warm, offset_of=run.start), CLOCK), what, "", "", ""]
    yield [Tick(), Text(clock(run.end, offset_of=run.start), CLOCK), "off", "", "", ""]
