"""Why a step is planned again whose time is over: what became of it by the log, not that nothing was done."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from alarmshelf import Clock, plays


def why(there: Any, clock: Clock, reel: str = "P-1", kind: str = "transfer") -> str:
    """What the plan made anew an hour and a half later says of that step of it."""
    clock.at += timedelta(minutes=90)
    made = there("plan", "--days", "3", "--effort", "0.3", "--json")
    assert made.status == 0, made.err
    told = [one["why"] for one in made.json["moves"] if (one["reel"], one["kind"]) == (reel, kind)]
    return str(told[0]) if told else ""


def test_a_pass_that_was_stopped_ran_then(there: Any, clock: Clock) -> None:
    plays(there, clock)
    assert there("tonight", "stop", "--because", "the doorbell").status == 0
    assert why(there, clock) == "it was stopped at 3:00 then (the doorbell)"


def test_a_pass_that_does_not_count_ran_then(there: Any, clock: Clock) -> None:
    plays(there, clock)
    clock.at += timedelta(minutes=20)
    assert there("tonight", "end", "transfer P-1", "--because", "heard").status == 0
    assert there("mark", "P-1", "identified", "--because", "recorded a channel too low").status == 0
    assert why(there, clock) == "it ran then, to be played again: recorded a channel too low"


def test_what_is_left_out_before_its_time_came_has_its_own_reason_too(there: Any, clock: Clock) -> None:
    assert there("tonight", "skip", "verify P-1", "--because", "not tonight").status == 0
    made = there("plan", "--days", "3", "--effort", "0.3", "--json").json
    told = {one["why"] for one in made["moves"] if (one["reel"], one["kind"]) == ("P-1", "verify")}
    assert told <= {"it was left out then: not tonight"} and told, made["moves"]


def test_what_was_left_out_has_its_own_reason(there: Any, clock: Clock) -> None:
    assert there("tonight", "skip", "transfer P-1", "--because", "too tired").status == 0
    clock.at += timedelta(days=1)
    assert why(there, clock) == "it was left out then: too tired"


@pytest.mark.parametrize("reel", ["P-1", "P-2"])
def test_what_nobody_began_was_not_done(there: Any, clock: Clock, reel: str) -> None:
    clock.at += timedelta(days=1)
    assert why(there, clock, reel) == "it was not done then"


def test_a_step_on_a_deck_that_rests_says_so(there: Any, clock: Clock) -> None:
    assert there("wish", "no", "D1", "on", "2026-12-02").status == 0
    clock.at -= timedelta(minutes=80)
    assert why(there, clock) == "D1 may not run on Wed 2 Dec"
