"""A deck that somebody lined up apart from the plan: Tonight, order and calendar leave that line-up out."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

from alarmshelf import STEP, Clock, printed
from icalendar import Calendar


def told(run: Any) -> tuple[bool, bool, bool]:
    """Whether that line-up still waits: on Tonight, on the order, in the calendar."""
    waits = [one for one in run("tonight", "--json").json if one["kind"] == "align"]
    assert run("calendar", "--out", "plan.ics").status == 0
    events = Calendar.from_ical(Path("plan.ics").read_bytes()).walk("VEVENT")
    rung = [one for one in events if one.get("STATUS") != "CANCELLED"]
    return (
        any(one["state"] == "waiting" for one in waits),
        STEP.replace("line up", "Line up") in printed(run, "orders"),
        any("ine up D1" in str(one.get("DESCRIPTION", "")) + str(one["SUMMARY"]) for one in rung),
    )


def test_it_is_left_out_at_every_face(there: Any, clock: Clock) -> None:
    assert told(there) == (True, True, True)
    clock.at += timedelta(minutes=2)
    assert there("mark", "P-1", "aligned", "--because", "it stood so").status == 0
    clock.at += timedelta(minutes=2)
    assert told(there) == (False, False, False)
    assert there("tonight", "begin", "transfer P-1").status == 0


def test_it_is_to_be_made_where_the_deck_stands_otherwise(there: Any, clock: Clock) -> None:
    clock.at += timedelta(minutes=2)
    assert there("set", "P-1", "eq=IEC1").status == 0
    assert there("mark", "P-1", "aligned", "--because", "it stood so").status == 0
    clock.at += timedelta(minutes=2)
    assert told(there)[:2] == (True, True)


def test_a_line_up_that_does_not_hold_is_kept_and_said(there: Any, clock: Clock) -> None:
    clock.at += timedelta(minutes=2)
    done = there("mark", "P-1", "aligned", "--because", "it stood so")
    assert done.status == 0 and "shown as" not in done.err
    clock.at += timedelta(hours=14)  # nobody is at the bench
    done = there("mark", "P-1", "aligned", "--because", "it stood so")
    assert done.status == 0 and "it is kept so, and shown as conditioned" in done.err
    (row,) = [one for one in there("reels", "--json").json if one["reel"] == "P-1"]
    assert row["stage"] == "conditioned"
