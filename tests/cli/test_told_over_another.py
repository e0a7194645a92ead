"""Told afterwards: a load or an empty run at a time at which another load lay in that chamber."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from alarmshelf import NOW, Clock, printed

HELD = "C1 held W-1 and W-2 from Wed 2 Dec 12:00 to 16:02"
DONE = "16:00  done 16:02"


@pytest.fixture
def over(there: Any, clock: Clock) -> Any:
    """W-1 and W-2 were in the chamber from 12:00 to 16:02; it is 23:00."""
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at = NOW + timedelta(hours=4, minutes=2)
    assert there("chamber", "--out", "W-1", "W-2").status == 0
    clock.at = NOW + timedelta(hours=11)
    return there


@pytest.mark.parametrize("at", ["12:00", "13:00", "15:50", "10:00"])
def test_a_load_over_another_is_asked_about(over: Any, at: str) -> None:
    words = ("load", "C1", "W-3", "--at", f"2026-12-02T{at}")
    refused = over(*words)
    assert (refused.status, f"told afterwards, {HELD}" in refused.err) == (1, True)
    assert over(*words, "--because", "a slip of the clock").status == 0


@pytest.mark.parametrize("at", ["08:00", "16:02", "15:55", "17:00"])
def test_one_behind_or_before_it_is_taken(over: Any, at: str) -> None:
    """From 8:00 on four hours are over at noon; the minutes in which one comes out and the next goes in."""
    assert over("load", "C1", "W-3", "--at", f"2026-12-02T{at}").status == 0


def test_an_empty_run_has_no_tape_in_it_at_any_time(over: Any) -> None:
    for at in ("12:00", "15:00"):
        told = over("chamber", "--empty-run", "54C", "--at", f"2026-12-02T{at}")
        assert (told.status, HELD in told.err) == (1, True), at
    for at in ("09:00", "16:02"):
        assert over("chamber", "--empty-run", "54C", "--at", f"2026-12-02T{at}").status == 0, at


def test_a_load_is_not_corrected_to_begin_in_another(over: Any) -> None:
    assert over("load", "C1", "W-3", "--at", "2026-12-02T18:00").status == 0
    told = over("chamber", "--began", "2026-12-02T15:00")
    assert (told.status, f"{HELD}: this load began behind it" in told.err) == (1, True)
    assert over("chamber", "--began", "2026-12-02T16:02").status == 0


def test_a_clock_that_stands_still_hinders_no_load(there: Any) -> None:
    for key in ("W-1", "W-2"):
        assert there("load", "C1", key).status == 0
        assert there("chamber", "--out", key).status == 0


def test_what_is_told_out_leaves_no_touch_missed(over: Any) -> None:
    """Four hours at a turn every two: out at 16:02, nothing was to be turned at 16:00 or later."""
    rows = over("chamber").out.partition("Turns\n")[2].splitlines()
    assert [row.strip() for row in rows[:2]] == ["! 14:00  missed: every reel lay on where it was", DONE]
    paper = printed(over, "print", "logs")
    assert paper.count("! missed") == 1 and "Wed 2 Dec 16:00 Wed 2 Dec 16:02" in paper


def test_what_lay_on_past_its_hours_was_not_to_be_turned(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    for minutes in (120, 1200):
        clock.at = NOW + timedelta(minutes=minutes)
        assert there("chamber", "--turned").status == 0
    rows = there("chamber").out.partition("Turns\n")[2].partition("Take care")[0]
    assert "missed" not in rows and "16:00" in rows and "18:00" not in rows
