"""A deck after a tape that leaves something on its path, and a deck on which something runs already."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import STEP, Clock, alarms, plays, printed
from doorshelf import put

from core.findings import AudioFile, ChannelMeasure, Check, Finding
from core.workbook.workbook import Workbook

MOULD = ("condition=", "signs=mould")
#: What a tape has that leaves something on the path, and how it is wiped.
LEAVES = {
    "mould": (MOULD, "particle mask, wipe the whole path"),
    "vinegar": (("condition=", "signs=vinegar"), "wipe the whole path, and air the room"),
    "loose oxide": (("condition=", "signs=loose oxide"), "brush off what lies there"),
    "white powder": (("condition=", "signs=white powder"), "it may be mould"),
    "layers adhere": (("condition=", "signs=layers adhere"), "clean heads and guides"),
    "sheds": (("condition=sticky",), "clean heads and guides"),
}


def next_of(run: Any, key: str) -> str:
    return str(next(one["next"] for one in run("reels", "--json").json if one["reel"] == key))


@pytest.mark.parametrize(
    ("what", "how"), [*((what, "stop") for what in LEAVES), ("mould", "end"), ("mould", "skip")]
)
def test_after_such_a_tape_nothing_begins_on_its_deck_until_it_is_wiped(
    there: Any, clock: Clock, what: str, how: str
) -> None:
    plays(there, clock)
    fields, wipe = LEAVES[what]
    assert there("set", "P-1", *fields).status == 0
    acts = {"stop": ("stop",), "end": ("end", "transfer P-1"), "skip": ("skip", "transfer P-1")}
    ended = there("tonight", *acts[how], "--because", "seen now")
    assert ended.status == 0 and "! D1's path is not wiped since P-1 ran on it" in ended.out
    assert wipe in ended.out and alarms(there) == {}
    refused = there("tonight", "begin", "transfer P-2")
    assert refused.status == 1 and wipe in refused.err and "reelturn tonight wiped D1" in refused.err
    assert next_of(there, "P-2") == "wipe D1, transfer"
    clock.at += timedelta(minutes=5)
    if how != "end":  # it does not go on, and lies there with both its reels
        still = there("tonight", "wiped", "D1")
        assert still.status == 1 and "reelturn tonight lifted P-1" in still.err
        assert there("tonight", "lifted", "P-1").status == 0
    assert there("tonight", "wiped", "D1").status == 0
    assert next_of(there, "P-2") == "transfer" and "not wiped" not in there("tonight").out
    assert there("tonight", "begin", "transfer P-2").status == 0


@pytest.mark.parametrize(("ends", "dirty"), [(180.0, True), (120.0, False)])
def test_heads_that_a_check_tells_got_dirty_up_to_the_end_are_wiped_before_the_next_pass(
    there: Any, clock: Clock, ends: float, *, dirty: bool
) -> None:
    plays(there, clock)
    assert there("tonight", "end", "transfer P-1", "--because", "heard").status == 0
    file = AudioFile("P-1.wav", "0" * 64, 1000, "WAV", "PCM_24", 96000, 2, 100, 180.0, "whole")
    dull = Finding("dull", None, 75.0, ends, "remark", "From 1:15.0 on the treble goes.", size=21.0)
    found = Check("P-1", (file,), (ChannelMeasure(1, 0, 0, -3.0, -2.9, -20.0, 0.0, 0, 0),), (dull,),
                  tracks=(1, 2), seconds=180.0)  # fmt: skip
    Workbook.open(Path("tapes.json"), now=lambda: clock.at).captures.keep_check(found)
    tells = "its check: the heads were getting dirty from 1:15 on"
    assert (tells in there("tonight").out) == dirty
    assert (tells in printed(there, "orders")) == dirty
    assert next_of(there, "P-2") == ("wipe D1, transfer" if dirty else "transfer")
    if dirty:
        assert there("tonight", "wiped", "D1").status == 0
    assert there("tonight", "begin", "transfer P-2").status == 0


def test_warmth_that_a_tape_has_later_wipes_no_path(there: Any, clock: Clock) -> None:
    plays(there, clock)
    assert there("set", "P-1", "condition=sticky").status == 0
    assert there("tonight", "stop", "--because", "it squeals").status == 0
    clock.at += timedelta(hours=40)
    assert there("mark", "P-1", "conditioned", "--because", "warmed elsewhere").status == 0
    assert "! D1's path is not wiped since P-1 ran on it" in there("tonight").out
    assert there("tonight", "wiped", "D1").status == 0
    assert "not wiped" not in there("tonight").out


def test_a_tape_does_not_run_on_another_evening_over_what_it_left_itself(there: Any, clock: Clock) -> None:
    plays(there, clock)
    assert there("set", "P-1", "signs=loose oxide", "condition=").status == 0
    assert there("tonight", "stop", "--because", "too late").status == 0
    assert "not wiped" not in there("tonight", "go-on").err and there("tonight", "stop").status == 0
    clock.at += timedelta(hours=24)
    own = there("tonight", "go-on", "P-1")
    assert own.status == 1 and "path is not wiped since P-1 ran on it" in own.err, own.err


def test_the_path_and_the_bag_are_told_at_the_end_and_on_paper(there: Any, clock: Clock) -> None:
    plays(there, clock)
    assert there("set", "P-1", *MOULD).status == 0
    assert there("tonight", "stop").status == 0
    closing = there("closing").out
    assert (
        "Leave: D1: path is not wiped since P-1 ran on it (mould" in closing and "bag the cloths" in closing
    )
    assert "Put back: apart from all tapes, in a closed bag, with gloves and a mask: P-1" in closing
    assert "! D1's path is not wiped since P-1 ran on it" in printed(there, "orders")
    label = printed(there, "print", "reel", "P-1")
    assert "lay it apart from all tapes, in a closed bag" in label, "also on what is carried with the box"
    assert there("set", "P-1", "signs=white powder").status == 0
    assert "apart, bagged, gloves and mask, till a magnifier shows no mould: P-1" in there("closing").out
    assert there("undo").status == 0
    assert there("undo").status == 0  # the stop
    assert there("undo").status == 0  # the mould
    assert there("tonight", "stop").status == 0
    assert "not wiped" not in there("closing").out + printed(there, "orders")


def test_mould_that_is_seen_when_the_line_up_is_long_over_counts(there: Any, clock: Clock) -> None:
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    assert there("set", "C-1", *MOULD).status == 0
    assert there("rename", "C-1", "C-2").status == 0
    refused = there("tonight", "begin", "transfer P-1")
    assert refused.status == 1 and "since C-2 ran on it (mould" in refused.err
    assert there("tonight", "begin", "transfer P-1", "--because", "wiped at once").status == 0


def test_what_leaves_nothing_asks_for_nothing(there: Any, clock: Clock) -> None:
    plays(there, clock)
    clock.at += timedelta(minutes=20)
    assert there("tonight", "end", "transfer P-1", "--because", "heard").status == 0
    for fields in (("set_aside=lent out",), ("set_aside=", "stock=Ampex 456 Grand Master"), ("stock=",)):
        assert there("set", "P-1", *fields).status == 0
        assert "not wiped" not in there("tonight").out, fields
    assert there("tonight", "begin", "transfer P-2").status == 0


def test_nothing_else_begins_and_nothing_is_planned_while_a_line_up_runs(there: Any, clock: Clock) -> None:
    assert there("tonight", "begin", STEP).status == 0
    refused = there("tonight", "begin", "transfer P-1")
    assert refused.status == 1 and refused.err.count("\n") == 1
    assert "a line-up runs on D1 since 12:00" in refused.err
    planned = there("plan", "--effort", "0.1")
    assert planned.status == 1 and "the line-up of D1 runs since 12:00" in planned.err
    clock.at += timedelta(days=1)  # left open last evening: it holds nothing up today
    assert there("plan", "--effort", "0.1").status == 0


def test_nothing_is_wiped_while_the_tape_is_still_there(there: Any, clock: Clock) -> None:
    assert there("tonight", "begin", STEP).status == 0
    assert there("load", "C1", "W-1").status == 0
    for place, who in (("D1", "the line-up of D1 runs on it"), ("C1", "W-1 lie in it")):
        ran = there("tonight", "wiped", place)
        assert ran.status == 1 and who in ran.err
    assert there("set", "C-1", *MOULD).status == 0
    assert there("tonight", "stop").status == 0
    clock.at += timedelta(minutes=5)
    assert "D1's path is not wiped" in there("tonight").out
    assert there("tonight", "wiped", "D1").status == 0


def test_a_line_up_is_stopped_as_its_alarm_says_and_waits_to_be_made_anew(there: Any, clock: Clock) -> None:
    assert there("tonight", "begin", STEP).status == 0
    assert there("set", "C-1", *MOULD).status == 0 and alarms(there)["C-1"].startswith("Stop C-1 on D1")
    assert there("tonight", "stop").status == 0 and alarms(there) == {}
    assert there("tonight", "stop").status == 1
    told = there("closing").out
    assert "with gloves and a mask: C-1 both reels as they lie, not wound" in told
    assert "line up D1: stopped; plan again" in told  # no later line-up with C-1 is named
    clock.at += timedelta(minutes=5)
    assert there("tonight", "wiped", "D1").status == 0
    assert there("plan", "--effort", "0.1").status == 0
    waits = [one for one in there("tonight", "--json").json if one["kind"] == "align"]
    assert [one["state"] for one in waits] == ["skipped", "waiting"]


def test_a_second_step_of_the_same_hands_is_pointed_out_and_not_refused(there: Any) -> None:
    found = {"width": "1/4 in", "tracks": "2", "speed": "15 ips", "length": "300 ft", "stage": "found"}
    assert put(there, [{"reel": key, **found} for key in ("F-1", "F-2")]).status == 0
    assert there("plan", "--effort", "0.1").status == 0
    first = there("tonight", "begin", "identify F-1")
    assert first.status == 0 and "runs still" not in first.err
    second = there("tonight", "begin", "identify F-2")
    assert second.status == 0 and "identify F-1 runs still" in second.err


def test_what_a_tape_left_on_the_path_outlasts_it_on_the_shelf(there: Any, clock: Clock) -> None:
    plays(there, clock)
    refused = there("remove", "P-1")
    assert refused.status == 1 and "P-1 runs on D1: stop it first" in refused.err
    assert there("set", "P-1", *MOULD).status == 0 and there("tonight", "stop").status == 0
    assert there("remove", "P-1").status == 0
    assert "since P-1 ran on it (mould" in there("tonight", "begin", "transfer P-2").err
    assert there("tonight", "wiped", "D1").status == 0 and "not wiped" not in there("tonight").out
    assert there("undo").status == 0 and "not wiped" in there("tonight").out


def test_a_chamber_that_held_mould_is_wiped_before_its_next_load(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1").status == 0
    assert there("set", "W-1", *MOULD).status == 0
    assert there("chamber", "C1", "--out", "W-1").status == 0
    says = "C1 held W-1, which has mould: wipe and air it, with gloves and a mask"
    clock.at += timedelta(minutes=10)
    assert f"! {says}" in there("chamber", "C1").out and f"! {says}" in printed(there, "orders")
    refused = there("load", "C1", "W-2")
    assert refused.status == 1 and says in refused.err
    assert there("tonight", "wiped", "C1").status == 0
    assert says not in there("load", "C1", "W-2").err + there("chamber", "C1").out


def test_a_speed_that_is_put_right_while_the_tape_plays_says_to_stop_it(there: Any, clock: Clock) -> None:
    plays(there, clock)
    done = there("set", "P-1", "speed=7.5 ips")
    assert done.status == 0
    assert "P-1: its pass is laid aside: stop the tape now, and wind it back" in done.err
    states = {one["state"] for one in there("tonight", "--json").json if one["subject"] == "P-1"}
    assert "running" not in states
    lies = "P-1 lies on both reels of D1 at 3:00 (heard at 7.5 ips, not 15 ips)"
    assert f"! {lies}" in there("tonight").out and lies in printed(there, "orders")
    stands = "P-1 (stands at 3:00: what was played is on the take-up reel, the rest on its own; wind it back"
    assert stands in there("closing").out and "in one place only" not in there("closing").out
    refused = there("tonight", "begin", "transfer P-2")
    assert refused.status == 1 and lies in refused.err and "reelturn tonight wound P-1" in refused.err
    clock.at += timedelta(minutes=5)
    assert there("tonight", "wound", "P-1").status == 0 and there("tonight", "wound", "P-1").status == 1
    assert "both reels" not in there("tonight").out and "(stands at" not in there("closing").out
    assert "stop the tape" not in there("set", "W-2", "speed=7.5 ips").err
    assert there("tonight", "begin", "transfer P-2").status == 0


def test_an_equalisation_that_is_told_while_the_tape_plays_is_said_at_the_deck(
    there: Any, clock: Clock
) -> None:
    """What was played stays; but the rest would be played on another line-up than the tape wants."""
    plays(there, clock)
    done = there("set", "P-1", "eq=IEC1")
    said = "P-1 plays, and its equalisation was told anew meanwhile: D1 is "
    assert done.status == 0 and said in done.err and "Stop it, line D1 up" in done.err
    assert f"! {said}" in there("tonight").out
    states = {one["state"] for one in there("tonight", "--json").json if one["subject"] == "P-1"}
    assert "running" in states
    assert there("tonight", "stop", "--because", "to line up").status == 0
    assert said not in there("tonight").out
    assert said not in there("set", "P-2", "eq=IEC1").err, "it does not play"


def test_a_tape_heard_otherwise_still_left_on_the_deck_what_it_left(there: Any, clock: Clock) -> None:
    plays(there, clock)
    assert there("set", "P-1", "speed=7.5 ips").status == there("set", "P-1", *MOULD).status == 0
    assert "! D1's path is not wiped since P-1 ran on it" in there("tonight").out


@pytest.mark.parametrize("how", ["known late", "known, and begun for a reason"])
def test_what_ran_over_mould_is_looked_at_before_it_goes_back_among_others(
    there: Any, clock: Clock, how: str
) -> None:
    plays(there, clock)
    late = how == "known late"
    if not late:
        there("set", "P-1", *MOULD)
    reason = () if late else ("--because", "hurry")
    assert (
        there("tonight", *(("end", "transfer P-1") if late else ("stop",)), "--because", "heard").status == 0
    )
    clock.at += timedelta(minutes=1)
    assert there("tonight", "begin", "transfer P-2", *reason).status == 0
    clock.at += timedelta(minutes=20)
    assert there("tonight", "end", "transfer P-2", "--because", "heard").status == 0
    if late:
        assert there("tonight", "wiped", "D1").status == 0  # as one does at an evening's end
        there("set", "P-1", *MOULD)
    says = (
        "ran on D1 after P-1, which has mould, before its path was wiped: look at it, with gloves and a mask"
    )
    assert "P-2" in next(
        line for line in there("closing").out.splitlines() if "apart until it was looked" in line
    )
    (row,) = [one for one in there("reels", "--json").json if one["reel"] == "P-2"]
    assert row["blocked"] == says.partition(":")[0] and row["next"] == "verify"
    for sheet in ("labels", "cards"):
        assert printed(there, "print", sheet).count(says) == 1, sheet
    clock.at += timedelta(minutes=1)
    assert there("tonight", "looked", "P-2").status == 0 and there("tonight", "looked", "W-1").status == 1
    assert (
        says not in printed(there, "print", "reel", "P-2")
        and "until it was looked" not in there("closing").out
    )


def test_what_ran_after_the_path_was_wiped_has_nothing_to_be_looked_for(there: Any, clock: Clock) -> None:
    plays(there, clock)
    there("set", "P-1", *MOULD)
    assert there("tonight", "stop").status == 0
    clock.at += timedelta(minutes=1)
    for words in (("lifted", "P-1"), ("wiped", "D1"), ("begin", "transfer P-2")):
        assert there("tonight", *words).status == 0
    clock.at += timedelta(minutes=20)
    assert there("tonight", "end", "transfer P-2", "--because", "heard").status == 0
    clock.at += timedelta(minutes=20)
    assert there("tonight", "wiped", "D1").status == 0  # once more, and not instead of the first time
    assert "ran on D1 after" not in printed(there, "print", "labels") + there("closing").out


def test_that_a_tape_ran_before_its_mould_was_known_is_told_afterwards(there: Any, clock: Clock) -> None:
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    clock.at += timedelta(minutes=30)
    assert there("tonight", "begin", "transfer P-2").status == 0
    clock.at += timedelta(minutes=20)
    assert there("tonight", "end", "transfer P-2", "--because", "heard").status == 0
    there("set", "P-1", *MOULD)
    assert there("tonight", "begin", "transfer P-1", "--because", "it ran").status == 1
    for wrong in (("P-1",), ("P-1", "D9", "--at", "12:05"), ("P-1", "D1", "--at", "23:59")):
        assert there("tonight", "ran", *wrong).status in (1, 2), wrong
    assert there("tonight", "ran", "P-1", "D1", "--at", "12:05", "--because", "by paper").status == 0
    told = there("tonight").out
    assert "! D1's path is not wiped since P-1 ran on it" in told
    assert "transfer P-1  skipped: it ran, told afterwards; by paper" in told
    (row,) = [one for one in there("reels", "--json").json if one["reel"] == "P-2"]
    assert "ran on D1 after P-1, which has mould" in row["blocked"]
    assert "in a closed bag, with gloves and a mask: P-1" in there("closing").out
    stage = next(one["stage"] for one in there("reels", "--json").json if one["reel"] == "P-1")
    assert stage == "identified" and there("undo").status == 0 and "not wiped" not in there("tonight").out


@pytest.mark.parametrize(
    "fields", [("condition=sticky",), ("stock=Ampex 456 Grand Master",), ("stock=Ampex 456",)]
)
def test_a_calibration_tape_that_must_not_run_is_not_wound_either(
    there: Any, fields: tuple[str, ...]
) -> None:
    assert there("tonight", "begin", STEP).status == 0
    assert "C-1 wound tails out" in there("closing").out
    there("set", "C-1", *fields)
    assert "Stop C-1 on D1 now" in alarms(there)["C-1"] and there("tonight", "stop").status == 0
    assert "C-1 both reels as they lie, not wound" in there("closing").out
