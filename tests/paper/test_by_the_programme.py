"""A line-up that sets nothing is made by tapes that may run by then, on the order and on its sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from core.paper.evening.lineup_sheet import lineup_pdf
from core.paper.evening.work_order import work_order
from core.paper.look.evenings import evenings
from core.plan import Item, Plan
from core.shelf import Shelf

Words = Callable[[bytes], str]
BLANK = (("speed", "15 ips"), ("eq", ""), ("level", ""), ("noise_reduction", ""))
BY = "azimuth and balance by the programme of "


def first_evening(plan: Plan, *before: str) -> Plan:
    """A full line-up as the deck stands; R-001 to R-003 play on it, of ``before`` after what they need."""
    align, load = plan.items[1], next(one for one in plan.items if one.kind == "condition")
    moment, items = align.end, [replace(align, full=True, setup=BLANK)]
    if "R-002" in before:  # it went in before the line-up, and cools while that is made
        members = (replace(load.members[0], reel="R-002", cool_until=moment + timedelta(minutes=30)),)
        start, end = align.start - timedelta(hours=17), align.start - timedelta(hours=9)
        items.insert(0, replace(load, members=members, touches=(), start=start, end=end))
    if "R-003" in before:
        items.append(Item("repair", moment, moment + timedelta(minutes=10), "R-003"))
    moment += timedelta(minutes=30)
    for key in ("R-001", "R-002", "R-003"):
        items.append(Item("transfer", moment, moment + timedelta(minutes=40), key, "D1", 1))
        moment += timedelta(minutes=40)
    return replace(plan, items=tuple(items))


@pytest.mark.parametrize(
    ("before", "said"),
    [
        ((), "R-001, R-002 and R-003; if that"),
        (("R-003",), "R-001 and R-002, and by that of R-003 when it plays; if that"),
        (("R-002",), "R-001 and R-003, and by that of R-002 when it plays; if that"),
        (("R-002", "R-003"), "R-001, and by that of R-002 and R-003 when they play; if that"),
    ],
)
def test_only_tapes_that_may_run_by_then_are_named_for_a_line_up(
    shelf: Shelf, plan: Plan, made: datetime, words: Words, before: tuple[str, ...], said: str
) -> None:
    """A tape in the heat, cooling or with open joints is never played to set an azimuth by it."""
    tonight = first_evening(plan, *before)
    align = next(one for one in tonight.items if one.kind == "align")
    for pdf in (
        work_order(shelf, tonight, evenings(shelf, tonight)[-1], made=made),
        lineup_pdf(shelf, tonight, align, made=made),
    ):
        assert f"{BY}{said}" in " ".join(words(pdf).split())


@pytest.mark.parametrize(("days", "when"), [(4, "on Saturday"), (9, "on Thu 10 Dec")])
def test_a_line_up_made_ahead_names_the_day_of_its_tapes_which_may_be_no_evening(
    shelf: Shelf, plan: Plan, made: datetime, words: Words, days: int, when: str
) -> None:
    align = replace(plan.items[1], full=True, setup=BLANK)
    touched = replace(align, full=False, start=align.start.replace(hour=10) + timedelta(days=days))
    touched = replace(touched, end=touched.start + timedelta(minutes=15))
    played = Item("transfer", touched.end, touched.end + timedelta(minutes=40), "R-001", "D1", 1)
    told = replace(plan, items=(align, touched, played), until=plan.until + timedelta(days=14))
    order = words(work_order(shelf, told, evenings(shelf, told)[0], made=made))
    assert f"ahead, for R-001 {when}" in " ".join(order.split())
