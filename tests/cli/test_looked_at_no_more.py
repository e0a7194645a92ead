"""A look that counts no more, a tape that is captured: it is struck out of its load at every face."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import Clock, printed
from icalendar import Calendar

LOOK = "and this plan does not look at it first"


def rung(run: Any) -> str:
    assert run("calendar", "--out", "plan.ics").status == 0
    events = Calendar.from_ical(Path("plan.ics").read_bytes()).walk("VEVENT")
    loads = [one for one in events if one.get("STATUS") != "CANCELLED" and "oad chamber" in one["SUMMARY"]]
    return " ".join(str(one["SUMMARY"]) for one in loads)


def load_row(run: Any) -> str:
    return next(one for one in run("tonight").out.splitlines() if "load chamber C1" in one)


@pytest.mark.parametrize(
    ("fields", "why"),
    [
        (("condition=",), f"nobody has inspected it, {LOOK}"),
        (("stage=found",), f"it is not identified, {LOOK}"),
        (("stage=transferred",), "transferred already: it needs no warmth"),
    ],
)
def test_it_is_taken_out_of_the_planned_load(
    there: Any, clock: Clock, fields: tuple[str, ...], why: str
) -> None:
    assert "W-2" in load_row(there) and "W-2" in rung(there)
    assert there("set", "W-2", *fields).status == 0
    assert "W-2" not in load_row(there) and "W-1, W-3" in load_row(there)
    assert "W-2" not in rung(there)
    order = printed(there, "orders")
    assert "Load chamber C1: W-1 and W-3" in order and f"W-2: {why}" in order
    assert f"without W-2: {why}" in there("plan", "--show").out
    assert f"W-2 must not be done as planned ({why})" in there("tonight").out
    assert there("tonight", "begin", "load chamber C1: W-1, W-3").status == 0, "the others wait for nothing"


def test_a_load_behind_the_look_that_is_planned_stays(there: Any, clock: Clock) -> None:
    assert there("set", "W-2", "condition=").status == 0
    assert there("plan", "--days", "3", "--effort", "0.5").status == 0
    assert LOOK not in there("plan", "--show").out
    assert any("identify W-2" in one for one in there("tonight").out.splitlines())


def test_a_width_that_nobody_knows_is_said_so(there: Any, clock: Clock) -> None:
    assert there("set", "W-2", "width=").status == 0
    assert "its width is not known, and the hours go by the width" in there("load", "C1", "W-2").err


def test_no_tape_becomes_in_the_heat_what_its_chamber_does_not_take(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-2").status == 0
    refused = there("set", "W-2", "width=1 in")
    assert refused.status == 1
    assert "column width: chamber C1 takes no 1 in, and W-2 is in it: take it out first" in refused.err
    assert there("set", "W-2", "width=6.3 mm").status == 0, "another name of its own width"
    assert there("chamber", "C1", "--out", "W-2").status == 0
    assert there("set", "W-2", "width=1 in").status == 0


def test_nothing_planned_goes_into_a_chamber_that_was_too_hot_until_it_ran_empty(
    there: Any, clock: Clock
) -> None:
    assert there("load", "C1", "W-1").status == 0
    assert there("chamber", "C1", "--read", "61 top").status == 0
    assert there("chamber", "C1", "--out", "W-1").status == 0
    says = "C1 was too hot, and is run empty first: nothing goes in before Thu 03 Dec 04:00"
    assert says in printed(there, "orders") and says in there("tonight").out
    assert not rung(there)
    clock.at += timedelta(minutes=5)
    assert there("chamber", "C1", "--empty-run", "54 C").status == 0
    for place in ("54 top", "54 bottom"):
        assert there("chamber", "C1", "--read", place).status == 0
    assert "too hot, and is run empty" not in printed(there, "orders")
