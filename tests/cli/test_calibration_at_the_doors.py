"""A line-up asks about its calibration reel as a pass does about its tape; no tape that runs is warmed."""

from __future__ import annotations

from typing import Any

from alarmshelf import NOW, STEP, Clock, alarms, printed


def states(run: Any) -> dict[str, str]:
    return {one["kind"]: one["state"] for one in run("tonight", "--json").json}


def test_a_line_up_waits_for_what_its_calibration_reel_waits_for(there: Any, clock: Clock) -> None:
    for told in (("condition=sticky", "stock=Ampex 456"), ("conditioned_at=2026-12-02T09:00",)):
        assert there("set", "C-1", *told).status == 0
        began = there("tonight", "begin", STEP, "--because", "it is late")
        assert began.status == 1, told
        assert there("undo").status == 0
    assert there("set", "C-1", "condition=sticky", "stock=Ampex 456").status == 0
    assert there("load", "C1", "C-1").status == 0
    inside = there("tonight", "begin", STEP, "--because", "it is late")
    assert inside.status == 1 and "C-1 may not be played: in chamber C1" in inside.err
    clock.at = NOW.replace(hour=16, minute=5)
    assert there("chamber", "--out", "C-1").status == 0
    hot = there("tonight", "begin", STEP, "--because", "it is late")
    assert hot.status == 1 and "C-1 may not be played: still cooling" in hot.err
    assert "cools to" in next(line for line in there("reels").out.splitlines() if line.startswith("C-1"))
    clock.at = NOW.replace(hour=20, minute=10)
    assert there("tonight", "begin", STEP).status == 0


def test_no_chamber_takes_a_calibration_reel_that_runs(there: Any) -> None:
    assert there("tonight", "begin", STEP).status == 0
    ran = there("load", "C1", "C-1", "--because", "it fits in")
    assert ran.status == 1 and "C-1 does not go into chamber C1" in ran.err
    assert "it is playing: end the line-up of D1 first" in ran.err
    assert there("tonight", "end", STEP).status == 0
    assert there("load", "C1", "C-1", "--because", "it fits in").status == 0


def test_a_calibration_reel_that_nobody_looked_at_is_looked_at_first(there: Any) -> None:
    assert there("set", "C-1", "condition=").status == 0
    told = next(one for one in there("reels", "--json").json if one["reel"] == "C-1")
    assert (told["advice"], told["next"]) == ("look first", "inspect first")
    assert states(there)["align"] == states(there)["transfer"] == "struck"
    assert "not any more: Line up" in printed(there, "orders")
    assert "nobody has inspected it" in there("tonight", "begin", STEP).err
    assert there("plan", "--days", "3", "--seconds", "0").status == 0
    assert states(there)["align"] == states(there)["identify"] == "waiting"
    began = there("tonight", "begin", STEP)
    assert began.status == 1 and "look first" in began.err and not alarms(there)
    assert there("tonight", "begin", STEP, "--because", "I saw it yesterday").status == 0
    assert not alarms(there)  # begun unseen, for a reason


def test_one_whose_condition_is_emptied_while_it_runs_is_stopped(there: Any) -> None:
    assert there("tonight", "begin", STEP).status == 0
    assert there("set", "C-1", "condition=").status == 0
    assert "nobody has looked at it as it is now" in alarms(there)["C-1"]


def test_no_splice_is_mended_on_a_tape_that_is_warm(there: Any, clock: Clock) -> None:
    assert there("set", "W-1", "splices=2").status == 0
    assert there("plan", "--days", "3", "--seconds", "0").status == 0
    assert there("tonight", "begin", "load chamber C1").status == 0
    clock.at = NOW.replace(hour=13)
    ran = there("tonight", "begin", "repair W-1", "--because", "now")
    assert ran.status == 1 and "W-1 may not be mended: in chamber C1" in ran.err
