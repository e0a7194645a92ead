"""A tape that begins to squeal or to leave gum while it runs is stopped, treated or not.

To stop, not to wind, and to clean the heads: the caution `transfer-shed` of the table (degrading-tapes,
eq-magazine-2008). That a dry swab tells gum from lubricant: the row `swab` of the quick tests. That a squeal
alone asks for no second treatment: heat does not help where nothing comes off (arsc-storage).
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from alarmshelf import STEP, Clock, alarms, printed
from icalendar import Calendar

TREATED = ("stage=conditioned", "conditioned_at=2026-12-01T10:00")


def runs(run: Any, clock: Clock, key: str) -> None:
    assert run("plan", "--days", "3", "--effort", "0.3").status == 0
    for act in ("begin", "end"):
        assert run("tonight", act, STEP).status == 0
    clock.at += timedelta(seconds=20)
    assert run("tonight", "begin", f"transfer {key}").status == 0
    clock.at += timedelta(minutes=3)


@pytest.mark.parametrize(
    ("told", "why"),
    [("condition=sticky;squeal", "it squeals"), ("tried=gum", "it leaves gum on the heads"),
     ("tried=residue", "it leaves residue on the heads")],
)  # fmt: skip
def test_a_treated_tape_that_squeals_or_sheds_as_it_runs_is_stopped(
    there: Any, clock: Clock, told: str, why: str
) -> None:
    assert there("set", "W-1", *TREATED).status == 0
    runs(there, clock, "W-1")
    assert alarms(there) == {}
    said = there("set", "W-1", told)
    alarm = f"Stop W-1 on D1 now: {why}. Then do not wind it: note the place"
    assert alarm in said.err and alarm in alarms(there)["W-1"]
    assert "say what comes off before it runs on" in alarms(there)["W-1"]
    assert "a squeal alone asks for no second treatment" in alarms(there)["W-1"]
    assert alarm in there("tonight").out and alarm in printed(there, "orders")
    events = Calendar.from_ical(there("calendar").out).walk("VEVENT")
    assert any("stop W-1" in str(one["SUMMARY"]) for one in events)
    clock.at += timedelta(seconds=30)
    assert there("tonight", "stop", "--because", "squeal").status == 0
    assert alarms(there) == {} and "Stop W-1" not in there("tonight").out


def test_what_was_known_before_it_ran_is_no_alarm(there: Any, clock: Clock) -> None:
    assert there("set", "W-1", *TREATED, "condition=sticky;squeal").status == 0
    runs(there, clock, "W-1")
    assert alarms(there) == {}
    assert there("set", "W-1", "notes=it squealed before").status == 0 and alarms(there) == {}


def test_gum_since_it_was_warmed_has_one_answer_at_deck_heat_and_plan(there: Any, clock: Clock) -> None:
    assert there("set", "W-1", *TREATED).status == 0
    assert "warm it again before it runs" in there("set", "W-1", "tried=gum").err
    assert there("plan", "--days", "3", "--effort", "0.3").status == 0
    items = there("plan", "--show", "--json").json["items"]
    (load,) = [one for one in items if "W-1" in {who["reel"] for who in one.get("reels", ())}]
    (plays,) = [one for one in items if (one["kind"], one.get("reel")) == ("transfer", "W-1")]
    assert load["end"] < plays["start"]
    rows = there("tonight").out
    assert "transfer W-1" in rows and "left gum since" not in rows, "the load before it is just that"
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    refused = there("tonight", "begin", "transfer W-1")
    assert refused.status == 1 and "left gum since it was warmed: warm it again" in refused.err
    assert there("load", "C1", "W-1").status == 0, "without a reason, as the deck says"


def test_an_answer_that_ends_an_alarm_stands_under_none(there: Any) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    assert "! Take W-1 out of chamber C1 now" in there("set", "W-1", "signs=vinegar").err
    other = there("set", "W-2", "notes=loose flange")
    assert "! Take W-1 out" in other.err  # it stands, whatever else is told
    assert "! Take W-1 out" in there("mark", "W-1", "no stage").err, "also where it is refused"
    mended = there("set", "W-1", "signs=")
    assert (mended.status, mended.err) == (0, "") and alarms(there) == {}
    assert there("set", "W-1", "signs=vinegar").status == 0
    out = there("chamber", "--out", "W-1")
    assert out.status == 0 and "Take W-1 out" not in out.err + out.out + there("tonight").out


def test_an_own_row_that_is_dropped_ends_its_alarm_without_a_word_of_it(there: Any) -> None:
    assert there("set", "W-1", "base_seen=").status == 0 and there("load", "C1", "W-1").status == 0
    row = there("stocks", "Ampex 456", "base=acetate", "--because", "by its flange")
    assert row.status == 0 and "Take W-1 out" in row.err
    dropped = there("stocks", "--drop", "Ampex 456")
    assert dropped.status == 0 and alarms(there) == {} and "Take W-1" not in dropped.err
