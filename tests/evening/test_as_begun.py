"""A planned load as it really runs, or ran: what papers and calendar tell of turns, take-outs and cooling."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import Any

import pytest

from core.clock import later
from core.conditioning.loads.kept_loads import loads_of
from core.evening.warming.as_begun import as_begun
from core.evening.warming.load import load
from core.evening.warming.load_broken import break_off, go_on
from core.evening.warming.take_out import take_out
from core.paper.look.evenings import evenings
from core.plan import Item, Member, Plan, Touch
from core.quantities import Quantity
from core.shelf import Shelf


@pytest.fixture
def now(moment: Callable[[str], datetime]) -> datetime:
    return moment("2026-12-05T08:00")


@pytest.fixture
def shelf(shelf_of: Any, make_reel: Any) -> Any:
    inch = {"condition": ("sticky",), "location": "A2"}
    return shelf_of(
        make_reel("R-001", treatment_hours=Quantity("6 h", Fraction(6)), **inch), make_reel("R-002", **inch)
    )


@pytest.fixture
def plan(now: datetime) -> Plan:
    """Six hours for one and eight for the other, turned every two, each out at an hour of turning."""

    def at(hours: float) -> datetime:
        return later(now, minutes=int(hours * 60))

    members = (
        Member("R-001", at(6), at(12), at(6 + 24 * 14)),
        Member("R-002", at(8), at(16), at(8 + 24 * 14)),
    )
    does = {0: "load", 2: "turn", 4: "turn", 6: "take out", 8: "take out"}
    touches = tuple(Touch(do, at(n), at(n + 1 / 6)) for n, do in does.items())  # type: ignore[arg-type]
    warm = Item("condition", at(0), at(8), chamber="C1", temperature="54 degC", members=members)
    return Plan("x", at(0), at(24 * 14), 0.0, "feasible", 1.0, 0.5, 0.5, (replace(warm, touches=touches),))


def rows(shelf: Shelf, plan: Plan, at: datetime) -> list[tuple[str, str, tuple[str, ...]]]:
    """What the order and the calendar have of the chamber."""
    (day,) = evenings(shelf, as_begun(shelf, plan), at)
    return [(f"{one.planned.start:%H:%M}", one.kind, one.reels) for one in day.steps if one.touch]


def test_a_turn_behind_a_time_without_warmth_stays_where_one_reel_came_out_early(
    shelf: Shelf, plan: Plan, now: datetime
) -> None:
    """Off for half an hour: the turn of hour six is at 14:30 by the clock, without the reel that is out."""
    began = load(shelf, "C1", ["R-001", "R-002"], now, "someone stays up")
    out = take_out(began, "R-001", later(now, hours=5))
    (key,) = loads_of(out)
    off = break_off(out, key, later(now, hours=5, minutes=10), "no current")
    on = go_on(off, key, later(now, hours=5, minutes=40), "as asked")
    told = rows(on, plan, later(now, hours=6))
    assert told[-2:] == [("14:30", "turn", ("R-002",)), ("16:30", "take out", ("R-002",))]
    (day,) = evenings(on, as_begun(on, plan), later(now, hours=6))
    assert not [step for step, _ in day.crossed if step.kind == "take out"]
