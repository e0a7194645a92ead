"""Prints a kept plan: a work order for every evening with the logs it needs, and the weeks as pictures."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from core.clock import evening_of
from core.evening.warming.as_begun import as_begun
from core.paper.evening.conditioning_log import conditioning_page
from core.paper.evening.lineup_sheet import lineup_page
from core.paper.evening.look_sheet import look_sheet
from core.paper.evening.transfer_log import transfer_page
from core.paper.evening.week import week_sheets
from core.paper.evening.work_order import order_sheet
from core.paper.look.evenings import Evening, evenings
from core.paper.look.files import put
from core.paper.look.page import Sheet, bind, origin
from core.plan import Item, Plan
from core.shelf import Shelf


def print_orders(
    shelf: Shelf,
    plan: Plan,
    folder: Path,
    *,
    size: str = "A4",
    made: datetime,
    stale: str | None = None,
    only: date | None = None,
) -> list[Path]:
    """Writes the plan's sheets into the folder and names them, in the order in which they are used.

    One PDF an evening (its work order, and the sheets to fill in that the owner chose) and one of the weeks.
    ``made`` is the moment of printing; ``stale`` is a sentence that every sheet then carries; ``only`` prints
    that evening and nothing else. Unusable where the folder cannot be written to.
    """
    source = origin(shelf, plan, made, stale)
    plan = as_begun(shelf, plan)
    written = []
    for evening in evenings(shelf, plan, made, runs_alone=True):
        if only is not None and evening.day != only:
            continue
        pdf = bind(evening_sheets(shelf, plan, evening, size), source, size)
        written.append(put(folder, f"order-{evening.day:%Y-%m-%d}.pdf", pdf))
    if only is not None:
        return written
    weeks = bind(week_sheets(shelf, plan, made, size), source, size)
    return [*written, put(folder, f"weeks-from-{plan.start:%Y-%m-%d}.pdf", weeks)]


def evening_sheets(shelf: Shelf, plan: Plan, evening: Evening, size: str = "A4") -> list[Sheet]:
    """What one evening is worked from: its work order, then what the owner chose to fill in."""
    evening = evening.to_do
    fill_in, none = shelf.chosen.fill_in, shelf.chosen.fills_in and not shelf.chosen.fill_in
    behind = "looks" in fill_in or (not shelf.chosen.fills_in and _mostly_looks(evening))
    sheets = [order_sheet(shelf, plan, evening, size, lines=not (behind or none))]
    if behind and (seen := look_sheet(shelf, evening, size)) is not None:
        sheets.append(seen)
    if "conditioning" in fill_in:
        begun = [load for load in evening.loads if _first_touched(plan, load, evening)]
        sheets += [conditioning_page(shelf, load, size, evening.struck_from(load)) for load in begun]
    for step in evening.steps:
        if step.kind == "align" and step.item is not None and "line-ups" in fill_in:
            sheets.append(lineup_page(shelf, plan, step.item, size))
        if step.kind == "transfer" and step.item is not None and "transfers" in fill_in:
            sheets.append(transfer_page(shelf, plan, step.item, size))
    return sheets


def _mostly_looks(evening: Evening) -> bool:
    """True for an evening that looks at more reels than it does of all else: its lines are what it is for."""
    bench = [step.kind for step in evening.steps if not step.touch]
    return 2 * bench.count("identify") > len(bench) or not bench


def evening_from(shelf: Shelf, plan: Plan, day: date) -> date | None:
    """That evening where the plan has work on it, else the next one that has; None where none is left."""
    there = evenings(shelf, plan, runs_alone=True)
    return min((evening.day for evening in there if evening.day >= day), default=None)


def _first_touched(plan: Plan, load: Item, evening: Evening) -> bool:
    """True for the evening on which a load's log is begun, or taken over from before the plan."""
    first = min((touch.start for touch in load.touches), default=load.start)
    return evening_of(first) == evening.day
