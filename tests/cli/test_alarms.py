"""What must be done now is said by every command: reels in the heat, tapes that run, the hard stop."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import NOW, STEP, Clock, alarms, plays, printed
from doorshelf import STUDIO, put
from icalendar import Calendar

from core.errors import Refused
from core.workbook.workbook import Workbook
from tui.board.chamber import next_touches


def loaded(run: Any, *keys: str) -> None:
    assert run("load", "C1", *keys, "--at", "2026-12-02T11:00").status == 0


VERBS = (
    ("songs",), ("songs", "--json"), ("plan", "--show"), ("plan", "--show", "--json"), ("closing",),
    ("hours",), ("why", "S-1"), ("estimate", "W-2"), ("source", "heat.hard_stop_c"), ("chamber", "--list"),
    ("wish",), ("stocks",), ("reels", "--json"), ("calendar",), ("print", "slips", "--out", "slips"),
)  # fmt: skip


def test_every_command_says_what_must_be_done_now_and_once(there: Any) -> None:
    loaded(there, "W-1", "W-2")
    assert there("set", "W-1", "base=acetate").status == 0
    for words in VERBS:
        told = there(*words)
        assert told.err.count("Take W-1 out of chamber C1 now") == 1, words
        assert "! Take W-1" not in told.out, words
    for words in (("tonight",), ("reels",), ("chamber",), ("plan", "--days", "3", "--effort", "0.2")):
        told = there(*words)
        assert told.out.startswith(("! Take W-1", "  ! Take W-1")), words
        assert "! Take W-1" not in told.err, words
    assert there("chamber", "--out", "W-1").status == 0
    for words in VERBS:
        assert "Take W-1" not in there(*words).err, words


@pytest.mark.parametrize("how", ["set", "import"])
def test_what_raises_an_alarm_says_it_in_the_same_breath(there: Any, how: str) -> None:
    loaded(there, "W-1", "W-2")
    if how == "set":
        told = there("set", "W-1", "condition=", "signs=vinegar")
    else:
        told = put(there, [{"reel": "W-1", "condition": "", "signs": "vinegar"}], "--update")
    assert (told.status, told.err.count("Take W-1 out of chamber C1 now: vinegar")) == (0, 1)
    assert "Take" not in there("set", "W-3", "notes=blue box").err.replace("Take W-1", "")


SINCE = {
    "mould": (("condition=", "signs=mould"), "bag both reels as they lie"),
    "vinegar": (("condition=", "signs=vinegar"), "keep it cold"),
    "layers adhere": (("condition=", "signs=layers adhere"), "do not pull it loose"),
    "sheds": (("condition=sticky",), "do not wind it"),
    "acetate and sticky": (("condition=sticky", "base=acetate"), "do not wind it"),
    "squeals": (("condition=squeal",), "do not wind it"),
    "written like": (("stock=Ampex 456 Grand Master",), "do not wind it"),
    "set aside": (("set_aside=lent out",), "do not wind it"),
    "not looked at": (("condition=",), "look at it as it lies"),
}


@pytest.mark.parametrize("what", SINCE)
def test_a_tape_that_is_found_bad_while_it_runs_is_stopped(there: Any, clock: Clock, what: str) -> None:
    plays(there, clock)
    assert alarms(there) == {}
    fields, then = SINCE[what]
    told = there("set", "P-1", *fields)
    assert told.status == 0 and "! Stop P-1 on D1 now: " in told.err and then in told.err
    assert "?." not in told.err
    assert alarms(there)["P-1"].startswith("Stop P-1 on D1 now: ")
    row = next(one for one in there("reels", "--json").json if one["reel"] == "P-1")
    assert row["next"] == "stop it now"
    assert there("tonight").out.startswith("! Stop P-1 on D1 now")
    assert there("tonight", "stop", "--because", "told to").status == 0
    assert alarms(there) == {}
    assert there("tonight", "go-on").status == 1
    stands = next(line for line in there("tonight").out.splitlines() if "transfer P-1" in line)
    assert "x stands at 3:00, does not go on: " in stands


def test_a_good_tape_that_runs_raises_none(there: Any, clock: Clock) -> None:
    plays(there, clock)
    for fields in (("notes=one drop-out",), ("condition=ok;edge",), ("base=acetate",), ("year=",)):
        told = there("set", "P-1", *fields)
        assert "Stop" not in told.err, fields
    assert alarms(there) == {}


def test_a_tape_that_was_begun_unseen_for_a_reason_runs_on(there: Any, clock: Clock) -> None:
    there("set", "P-1", "condition=", "stage=found")
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    clock.at = NOW.replace(day=3, hour=8, minute=15)  # by then the plan has looked at it
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    assert there("tonight", "begin", "transfer P-1").status == 1
    assert there("tonight", "begin", "transfer P-1", "--because", "it ran clean last week").status == 0
    clock.at += timedelta(minutes=3)
    assert alarms(there) == {} and "Stop" not in there("tonight", "stop").err
    assert there("tonight", "go-on").status == 0


def test_a_line_ups_own_reel_is_stopped_too_and_paper_and_calendar_say_so(there: Any, clock: Clock) -> None:
    assert there("tonight", "begin", STEP).status == 0
    assert there("set", "C-1", "condition=", "signs=mould").status == 0
    assert alarms(there)["C-1"].startswith("Stop C-1 on D1 now: mould")
    assert "NOW: Stop C-1 on D1 now" in printed(there, "orders")
    events = Calendar.from_ical(there("calendar").out).walk("VEVENT")
    assert "NOW: stop C-1" in [str(one["summary"]) for one in events]


def test_the_hard_stop_stays_whatever_is_read_later(there: Any) -> None:
    loaded(there, "W-1", "W-2")
    hot = ("chamber", "--read", "61 top", "--at", "2026-12-02T11:30")
    assert "it reads 61 °C" in there(*hot).out
    assert there("chamber", "--read", "54 top", "--at", "2026-12-02T11:40").status == 0
    says = alarms(there)["W-2"]
    assert "it read 61 °C at 11:30, whatever it reads now" in says and "out now" in says
    assert there("chamber", "--broken-off", "too hot", "--at", "2026-12-02T11:42").status == 0
    lies = "out of chamber C1 now, where they lie since its load was broken off"
    assert lies in alarms(there)["W-2"]
    plan = there("plan", "--from", "2026-12-02T11:45", "--effort", "0.3", "--json").json
    warm = [one["start"] for one in plan["items"] if one["kind"] == "condition"]
    assert warm and min(warm) > "2026-12-03T04:00", "nothing is warmed there that evening"
    assert there("chamber", "--go-on", "--at", "2026-12-02T11:50").status == 0
    assert alarms(there) == {}  # it was seen to, and goes on


def test_the_rest_of_a_load_that_is_too_hot_is_struck_out_and_everything_else_is_planned(there: Any) -> None:
    assert (
        there("set", "C-1", "stock=Ampex 406", "condition=sticky", "base=polyester", "base_seen=yes").status
        == 0
    )
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    loaded(there, "C-1", "W-1")
    assert there("chamber", "--read", "63 top", "--at", "2026-12-02T11:30").status == 0
    paper = printed(there, "orders")
    assert "W-1: it reads 63 °C, and the hard stop is 60 °C" in paper
    anew = there("plan", "--days", "3", "--effort", "0.2", "--json").json
    assert "P-1" in {one.get("reel") for one in anew["items"]}, (
        "a calibration reel in there keeps no other out"
    )


def test_what_lay_at_the_hard_stop_is_looked_at_before_it_plays(there: Any, clock: Clock) -> None:
    loaded(there, "W-1", "W-2")
    clock.at = NOW.replace(hour=14, minute=50)
    assert there("plan", "--days", "2", "--effort", "0.2").status == 0
    clock.at = NOW.replace(hour=15, minute=1)
    assert there("chamber", "--read", "66 top", "--at", "2026-12-02T14:58").status == 0
    for key in ("W-1", "W-2"):
        assert there("chamber", "--out", key).status == 0
    clock.at = NOW.replace(hour=20)
    says = "lay in C1 at 66 °C: let it cool and look at it before it is played"
    assert "lay in C1 at 66 °C" in there("reels").out
    assert says in printed(there, "print", "reel", "W-1")
    assert there("tonight", "looked", "W-1").status == 0
    assert says not in printed(there, "print", "reel", "W-1") and says in printed(
        there, "print", "reel", "W-2"
    )
    assert there("tonight", "looked", "W-1").status == 1


def test_a_pass_with_a_tape_that_was_too_hot_takes_a_look_or_a_reason_at_the_command(
    there: Any, clock: Clock
) -> None:
    loaded(there, "W-1", "W-2")
    clock.at = NOW.replace(hour=15, minute=1)
    assert there("chamber", "--read", "66 top", "--at", "2026-12-02T14:58").status == 0
    assert [there("chamber", "--out", key).status for key in ("W-1", "W-2")] == [0, 0]
    clock.at = NOW.replace(hour=19, minute=10)
    assert "transfer W-2" in there("tonight").out
    says = "W-2 lay in C1 at 66 °C: let it cool and look at it before it is played"
    assert f"! {says}" in there("tonight").out
    row = printed(there, "orders").partition("Transfer W-2")[2][:400]
    assert "! lay in C1 at 66 °C" in row, row
    begun = there("tonight", "begin", "transfer W-2")
    assert begun.status == 1 and f"does not begin: {says}" in begun.err
    assert there("tonight", "looked", "W-2").status == 0
    assert says not in there("tonight").out
    again = there("tonight", "begin", "transfer W-2")
    assert says not in again.err


def test_what_was_not_looked_at_since_it_lay_beside_mould_is_told_before_it_lies_beside_others(
    there: Any, clock: Clock
) -> None:
    loaded(there, "W-1", "W-2")
    there("set", "W-1", "condition=mould")
    for key in ("W-1", "W-2"):
        assert there("chamber", "--out", key, "--at", "2026-12-02T11:20").status == 0
    clock.at = NOW.replace(hour=16)
    again = there("load", "C1", "W-2", "W-3", "--because", "to see")
    assert "W-2 was beside W-1, which has mould: look at it" in again.err


def test_a_mouldy_tape_that_cools_does_not_lie_among_the_others(there: Any, clock: Clock) -> None:
    assert there("tonight", "begin", "1").status == 0
    clock.at = NOW.replace(hour=16, minute=15)
    for key in [one["reel"] for one in there("chamber", "--json").json["reels"]]:
        assert there("chamber", "--out", key).status == 0
    there("set", "W-1", "condition=mould")
    back = [line for line in there("closing").out.splitlines() if line.startswith("Put back")]
    (bagged,) = [line for line in back if "closed bag" in line]
    assert "W-1" in bagged, back
    assert all("W-1" not in line for line in back if line != bagged), back


def test_what_was_only_too_hot_is_put_back_without_gloves(there: Any, clock: Clock) -> None:
    assert there("tonight", "begin", "1").status == 0
    clock.at = NOW.replace(hour=16, minute=15)
    assert there("chamber", "--read", "63 top", "--at", "2026-12-02T16:10").status == 0
    inside = [one["reel"] for one in there("chamber", "--json").json["reels"]]
    for key in inside:
        assert there("chamber", "--out", key).status == 0
    assert "lay in C1 at 63 °C" in there("reels").out
    assert inside[0] in there("closing").out and "gloves" not in there("closing").out


def test_a_look_for_what_heat_did_is_none_for_mould(there: Any, clock: Clock) -> None:
    loaded(there, "W-1", "W-2")
    assert there("chamber", "--read", "66 top", "--at", "2026-12-02T11:30").status == 0
    for key in ("W-1", "W-2"):
        assert there("chamber", "--out", key, "--at", "2026-12-02T11:32").status == 0
    assert there("tonight", "looked", "W-1").status == 0
    there("set", "W-2", "condition=mould")
    beside = "was beside W-2, which has mould"
    assert beside in there("reels").out
    assert there("tonight", "looked", "W-1").status == 0
    assert beside not in there("reels").out


def test_a_load_that_reads_too_hot_does_not_go_on_until_it_reads_less(there: Any) -> None:
    loaded(there, "W-1", "W-2")
    assert there("chamber", "--read", "63 top", "--at", "2026-12-02T11:30").status == 0
    off = there("chamber", "--broken-off", "too hot", "--at", "2026-12-02T11:32").out
    assert "W-1: C1 reads 63 °C" in off and "give it" not in off
    refused = there("chamber", "--go-on", "--at", "2026-12-02T11:40")
    assert refused.status == 1 and "C1 reads 63 °C, and the hard stop is 60 °C" in refused.err
    there("chamber", "--read", "53 top", "--at", "2026-12-02T11:50")
    assert there("chamber", "--go-on", "--at", "2026-12-02T11:51").status == 0
    assert alarms(there) == {}


def test_a_reading_that_was_a_slip_is_put_right_at_its_own_moment(there: Any) -> None:
    loaded(there, "W-1")
    for reads in ("64 top", "54 top"):
        assert there("chamber", "--read", reads, "--at", "2026-12-02T11:30").status == 0
    assert alarms(there) == {}


def test_alarms_of_one_load_never_contradict(there: Any) -> None:
    loaded(there, "W-1", "W-2", "W-3")
    there("set", "W-1", "condition=", "signs=vinegar")
    assert "The rest may stay in" in alarms(there)["W-1"]
    there("set", "W-2", "condition=", "signs=mould")
    says = " ".join(alarms(there).values())
    assert "Look at the rest now" in says and "stays in" not in says and "W-3" not in alarms(there)
    there("chamber", "--read", "61 top", "--at", "2026-12-02T11:30")
    says = alarms(there)["W-1"]
    assert "Switch chamber C1 off and take W-1, W-2 and W-3 out now" in says and "stay" not in says
    assert "Lay all but those named below flat" in alarms(there)["W-3"]


def test_what_lay_beside_mould_is_looked_at_before_it_is_played(there: Any) -> None:
    loaded(there, "W-1", "W-2")
    there("set", "W-1", "condition=", "signs=mould")
    assert there("chamber", "--out", "W-1").status == 0
    says = "was beside W-1, which has mould: look at it, with gloves and a mask, before it is played"
    assert there("chamber", "--out", "W-2").status == 0
    blocked = {one["reel"]: one["blocked"] for one in there("reels", "--json").json}
    assert blocked["W-2"].startswith(f"{says.partition(':')[0]}; had 1 h") and "mould" not in str(
        blocked["W-3"]
    )
    assert says in printed(there, "print", "reel", "W-2")
    assert says not in printed(there, "print", "reel", "W-3")
    assert says in printed(there, "orders")
    assert there("remove", "W-1").status == 0  # it goes to somebody who can clean it; its spores do not
    assert says in printed(there, "print", "reel", "W-2")
    assert "C1 held W-1, which has mould: wipe and air it" in there("chamber", "C1").out


def test_what_lay_beside_mould_is_looked_at_captured_or_not(there: Any, clock: Clock) -> None:
    assert there("tonight", "begin", "load chamber C1").status == 0
    clock.at = NOW.replace(hour=16, minute=10)
    assert there("tonight", "looked", "W-2").status == 1  # it is inside
    for key in ("W-1", "W-2", "W-3"):
        assert there("chamber", "--out", key).status == 0
    clock.at = NOW.replace(hour=20, minute=20)
    assert there("mark", "W-2", "transferred", "--because", "it ran in spite of it").status == 0
    assert there("tonight", "looked", "W-2").status == 1  # nothing is known of mould
    assert there("set", "W-1", "condition=sticky;mould").status == 0

    def told() -> tuple[bool, bool, bool]:
        row = next(line for line in there("reels").out.splitlines() if line.startswith("W-2"))
        label = "was beside W-1, which has mould" in printed(there, "print", "labels").partition("W-3")[0]
        apart = next(line for line in there("closing").out.splitlines() if "until it was looked at" in line)
        return "was beside W-1" in row, "W-2" in apart, label

    assert told() == (True, True, True)
    assert there("tonight", "looked", "W-2").status == 0
    assert told() == (False, False, False)


def test_what_lay_in_a_chamber_before_its_mould_was_known_is_told_afterwards(
    there: Any, clock: Clock
) -> None:
    loaded(there, "W-2", "W-3")
    assert there("set", "W-1", "condition=sticky;mould").status == 0
    clock.at = NOW.replace(hour=13)
    assert there("load", "C1", "W-1", "--at", "2026-12-02T12:00", "--because", "it was in").status == 1
    assert there("tonight", "lay", "W-1", "C9", "--at", "2026-12-02T12:00").status == 1
    assert there("tonight", "lay", "W-1", "C1", "--at", "2026-12-02T14:00").status != 0  # still to come
    assert "was beside" not in there("reels").out
    assert there("tonight", "lay", "W-1", "C1", "--at", "2026-12-02T12:00").status == 0
    assert "C1 held W-1, which has mould: wipe and air it" in there("chamber", "C1").out
    rows = {line[:3]: "was beside W-1" in line for line in there("reels").out.splitlines()}
    assert rows["W-2"] and rows["W-3"] and not rows["P-1"]
    assert there("undo").status == 0 and "was beside" not in there("reels").out


def test_a_touch_long_before_its_time_takes_a_reason(there: Any, clock: Clock) -> None:
    """A word that is given twice never takes a load out hours too early."""
    loaded(there, "W-1", "W-2")  # turned at 13:00, out at 15:00
    early = there("chamber", "--turned")
    assert early.status == 1 and "turn W-1, W-2 at 13:00, in 1 h" in early.err
    assert there("chamber", "--turned", "--at", "2026-12-02T12:20", "--because", "we leave").status == 0
    turns = there("chamber", "--json").json["turns"]
    assert [(one["due"][11:16], one["done"][11:16], one["state"]) for one in turns] == [
        ("13:00", "12:20", "done")
    ]
    done = {one["kind"]: one["number"] for one in there("tonight", "--json").json if one["state"] == "done"}
    assert set(done) == {"load", "turn"}
    ended = there(
        "tonight", "end", str(done["turn"])
    )  # whoever writes begin and end of every step is not refused
    assert (ended.status, "nothing is left to end" in ended.err) == (0, True)
    assert len(there("chamber", "--json").json["turns"]) == 1
    for words in (("chamber", "--turned"), ("tonight", "begin", "take out chamber C1")):
        twice = there(*words)
        assert twice.status == 1 and "at 15:00, in 3 h" in twice.err
    assert {one["reel"]: one["out"] for one in there("chamber", "--json").json["reels"]} == {
        "W-1": None,
        "W-2": None,
    }
    clock.at += timedelta(hours=3)
    early = there("chamber", "--turned", "--at", "2026-12-02T14:55")
    assert early.status == 1 and "in 5 min: out before, it counts as not treated" in early.err
    clock.at += timedelta(minutes=1)
    assert there("chamber", "--turned", "--at", "2026-12-02T15:00").status == 0


def test_a_first_load_counts_as_no_treatment_before(there: Any) -> None:
    loaded(there, "W-1")
    told = there("source", "W-1").out
    assert "It was treated" not in told and "treated once already" not in told


def test_a_reel_that_must_come_out_says_so_in_its_log(there: Any) -> None:
    loaded(there, "W-1", "W-2")
    there("set", "W-1", "base=acetate")
    lines = there("chamber").out
    assert "W-1: 1 h of 4 h, out now" in lines and "W-2: 1 h of 4 h, out at 15:00" in lines
    (told,) = [one for one in there("chamber", "--json").json["reels"] if one["reel"] == "W-1"]
    assert told["out_now"].startswith("sticky on acetate")
    log = printed(there, "print", "logs")
    assert "OUT NOW" in log and log.count("by plan") == 1


def test_a_reel_struck_out_of_a_load_is_crossed_in_places_and_log_and_the_others_go_on(there: Any) -> None:
    there("set", "W-1", "base=acetate")
    there("orders", "--out", "all", "--with", "conditioning")
    text = printed(there, "orders")
    assert text.count("not any more W-1") == 1  # the table of places
    assert "not any more: sticky on acetate" in text  # the log of the load
    assert "Turn chamber C1: W-2 and W-3 without W-1: sticky on acetate" in text
    assert "Turn chamber C1: W-2 and W-3 struck out" not in text
    shown = there("plan", "--show").out
    (turn,) = [line for line in shown.splitlines() if " turn chamber C1" in line]
    assert "W-2, W-3: without W-1: sticky on acetate" in turn and "struck" not in turn


WRONG = {
    "look first by its stock": ("stocks", "Ampex 456", "base=acetate", "--because", "burns like it"),
    "not looked at": ("set", "W-1", "condition="),
    "no base": ("set", "W-1", "base=unknown"),
    "needs no warmth": ("set", "W-1", "condition=ok", "stock=Harbour 12"),
}


@pytest.mark.parametrize("what", WRONG)
def test_what_must_come_out_of_the_heat_is_struck_out_of_all_that_rests_on_it(there: Any, what: str) -> None:
    assert there("set", "W-1", "base_seen=").status == 0
    loaded(there, "W-1", "W-2", "W-3")
    assert there("plan", "--days", "3", "--effort", "1").status == 0
    assert there(*WRONG[what]).status == 0
    assert "W-1" in alarms(there)
    shown = there("plan", "--show").out.splitlines()
    mine = [
        line for line in shown if "W-1" in line and any(one in line for one in ("turn", "transfer", "verify"))
    ]
    assert mine and all(line.lstrip().startswith("x ") or "without W-1" in line for line in mine), mine
    live = [one for one in sent(there).values() if one[1] == "CONFIRMED" and not one[0].startswith("NOW")]
    assert not any("W-1" in one[0] for one in live), live


def test_what_plays_on_a_line_up_that_is_struck_with_its_reel_is_struck(there: Any, clock: Clock) -> None:
    there("set", "C-1", "condition=", "signs=mould")
    shown = [line.strip() for line in there("plan", "--show").out.splitlines()]
    mine = [line for line in shown if " transfer " in line or " verify " in line]
    assert len(mine) == 10 and all(line.startswith("x ") for line in mine)
    assert "its line-up with C-1 is struck out" in there("why", "P-1").out
    refused = there("tonight", "begin", "transfer P-1")
    assert refused.status == 1 and "its line-up with C-1 is struck out" in refused.err


def test_an_alarm_stands_before_all_that_waits_tonight(there: Any) -> None:
    loaded(there, "W-1")  # the plan has three reels in that load: the others were left behind
    there("set", "W-1", "base=acetate")
    steps = [line for line in there("tonight").out.splitlines() if line[:3].strip().isdigit()]
    waits = [line for line in steps if "  x " not in line and "  done " not in line]
    assert "take out chamber C1: W-1" in waits[0]
    load = next(line for line in steps if "load chamber C1" in line and "  done " not in line)
    assert "x struck out" in load and "W-2, W-3: C1 was loaded without it" in load
    assert there("tonight", "begin", "load chamber C1").status == 1


def test_a_reel_that_is_out_already_is_not_taken_out_once_more(there: Any) -> None:
    loaded(there, "W-1", "W-2", "W-3")
    there("set", "W-1", "condition=", "signs=vinegar")
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    assert "Take out of C1: W-1" in printed(there, "orders")
    slips = printed(there, "print", "slips")
    assert slips.count("NOW: Take W-1 out of chamber C1 now") == slips.count("Change slip, ") > 0
    assert there("chamber", "--out", "W-1").status == 0
    assert "Take out of C1: W-1" not in printed(there, "orders").replace("not any more: take out C1", "")
    first = next(line for line in there("plan", "--show").out.splitlines() if "W-1" in line)
    assert "out of C1 already" in first
    events = Calendar.from_ical(there("calendar").out).walk("VEVENT")
    live = [str(one["summary"]) for one in events if str(one["status"]) != "CANCELLED"]
    assert not any("W-1" in one for one in live)


def sent(run: Any) -> dict[str, tuple[str, str, int, datetime]]:
    """By UID what the calendar says now: summary, status, sequence, start."""
    events = Calendar.from_ical(run("calendar").out).walk("VEVENT")
    return {
        str(one["UID"]): (str(one["summary"]), str(one["status"]), int(one["sequence"]), one.start)
        for one in events
    }


def test_an_alarm_that_is_over_is_taken_back_from_the_calendar(there: Any, clock: Clock) -> None:
    loaded(there, "W-1", "W-2")
    there("set", "W-1", "condition=", "signs=mould")
    ((uid, rung),) = [(uid, one) for uid, one in sent(there).items() if one[0].startswith("NOW: ")]
    assert rung[:2] == ("NOW: take W-1 out of chamber C1", "CONFIRMED")
    assert there("chamber", "--out", "W-1").status == 0
    clock.at += timedelta(minutes=20)
    for _ in range(2):  # said again, should a phone have missed it
        over = sent(there)[uid]
        assert over[:2] == ("Cancelled: NOW: take W-1 out of chamber C1", "CANCELLED")
        assert over[2] > rung[2] and over[3] == rung[3]
    clock.at += timedelta(days=3)
    assert uid not in sent(there)


def test_what_lay_before_a_later_beginning_of_the_new_plan_is_taken_back(there: Any, clock: Clock) -> None:
    """Also where two plans were made since the calendar was written last."""
    before = sent(there)
    touches = {uid: one for uid, one in before.items() if "C1" in one[0] and one[3] > clock.at}
    assert any(one[0].startswith("Turn") and one[3].hour < 15 for one in touches.values())
    for start in ("2026-12-02T14:00", "2026-12-02T15:00"):
        assert there("plan", "--days", "3", "--effort", "0.2", "--from", start).status == 0
    after = sent(there)
    assert {uid for uid in touches if uid not in after} == set()
    assert {after[uid][1] for uid in touches} == {"CANCELLED"}
    live = [one for one in after.values() if one[1] == "CONFIRMED" and " empty" not in one[0]]
    assert live and min(one[3] for one in live) >= datetime(2026, 12, 2, 15, tzinfo=clock.at.tzinfo)


def test_touches_speak_of_the_reels_that_are_inside_and_once(there: Any) -> None:
    loaded(there, "W-1", "W-2")
    assert there("chamber", "--out", "W-1", "--at", "2026-12-02T11:20").status == 0
    rows = [line[5:].strip() for line in there("tonight").out.splitlines() if " chamber C1" in line]
    assert [one.partition("  done")[0] for one in rows if "  done " in one] == [
        "11:00  load chamber C1: W-1, W-2", "11:20  take out chamber C1: W-1"
    ]  # fmt: skip
    rows = [one for one in rows if "  done " not in one]
    assert rows == ["13:00  turn chamber C1: W-2", "15:00  take out chamber C1: W-2"]
    shown = there("plan", "--show").out
    assert "without W-1: out of C1 already; W-3: C1 was loaded without it" in shown
    for key in ("W-1", "W-3"):
        (plays,) = [line for line in shown.splitlines() if f"transfer {key} " in line]
        assert plays.lstrip().startswith("x ") and "this plan does not warm it" in plays


NEEDS_NONE = {
    "sound": (("condition=ok", "stock=Harbour 12"), "it needs no warmth"),
    "sound, to be tested": (("condition=ok", "stock=", "year="), "it is to be tested first"),
    "no back coat": (("stock=",), "sticky without a back coat is seldom binder"),
}


@pytest.mark.parametrize("what", NEEDS_NONE)
def test_a_planned_load_goes_without_the_reel_that_needs_no_warmth_any_more(there: Any, what: str) -> None:
    told, why = NEEDS_NONE[what]
    assert there("set", "W-1", *told).status == 0
    (load,) = [line for line in there("plan", "--show").out.splitlines() if " load chamber C1" in line]
    assert "C1: W-2, W-3 at" in load and f"without W-1: {why}" in load
    assert "load chamber C1: W-2, W-3" in there("tonight").out
    assert f"without W-1: {why}" in printed(there, "orders")
    events = Calendar.from_ical(there("calendar").out).walk("VEVENT")
    (loads,) = [str(one["summary"]) for one in events if "Load chamber C1" in str(one["summary"])]
    assert "W-1" not in loads and "W-2 and W-3" in loads
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 1
    assert there("load", "C1", "W-1", "W-2", "W-3", "--because", "to dry it").status == 0
    shown = there("plan", "--show").out
    assert "without W-1" not in shown, "a reason was kept with it"


def test_a_line_up_says_what_is_left_as_the_deck_stands(there: Any) -> None:
    for key in ("P-1", "P-2", "W-1", "W-2", "W-3"):
        there("set", key, "eq=", "level=" if key == "P-1" else "level=250 nWb/m")
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    shown = there("plan", "--show").out
    assert "line up D1 to 15 ips, equalisation and level as the deck stands" in shown
    assert "with C-1, equalisation and level only read" in shown and "to 15 ips, equalisation and" in shown
    assert "level not known" not in shown
    there("orders", "--out", "all", "--with", "line-ups")
    text = printed(there, "orders")
    assert "nothing tells its equalisation and level: read the tones of C-1" in text
    assert "by the tones at the reel's own head" not in text


def test_a_reel_is_named_once_in_a_load(there: Any) -> None:
    told = there("load", "C1", "W-1", "W-1")
    assert (told.status, told.err) == (1, "reelturn: W-1 is named twice: each reel of a load once\n")


def test_small_words_that_were_passed_over_are_answered(there: Any, tmp_path: Path) -> None:
    far = there("wish", "S-1", "by", "9999-12-31")
    assert far.status == 1 and "further off than any plan reaches" in far.err
    nothing = there("tonight", "--at", "20:00")
    assert nothing.status == 2 and "say what happened" in nothing.err
    (tmp_path / "studio.toml").write_text(f"{STUDIO}\n[minutes]\nbrew_tea = 4\n")
    told = there("import", "studio.toml", "--update")
    assert told.status == 0 and "minutes.brew_tea is kept, and nothing here reads it" in told.err


def test_why_tells_what_a_struck_reel_waits_for(there: Any) -> None:
    there("set", "W-1", "base=acetate")
    told = there("why", "W-1").out
    assert told == "W-1: not as planned any more: sticky on acetate, which must never be warmed\n"
    song = there("why", "S-1")
    assert "nothing stands in its way" not in song.out and "W-1: not as planned any more" in song.out
    assert there("why", "S-1", "--json").json["struck"] == {
        "W-1": "sticky on acetate, which must never be warmed"
    }


def test_a_plan_that_does_not_fit_any_more_says_so_wherever_it_is_told(there: Any) -> None:
    assert there("wish", "P-1", "on", "2026-12-02").status == 0
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    verbs = (("closing",), ("wish",), ("songs",), ("plan", "--show"), ("why", "P-1"), ("calendar",))
    for words in verbs:
        assert "plan again" not in there(*words).err, words
    there("set", "W-1", "base=acetate")
    for words in verbs:
        assert "W-1 must not be done as planned" in there(*words).err, words


def test_why_knows_that_a_reason_is_over(there: Any) -> None:
    there("set", "W-1", "base=acetate")
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    assert there("why", "W-1").out == "W-1: sticky on acetate, which must never be warmed\n"
    there("set", "W-1", "base=polyester")
    assert "nothing bars it any more: plan again" in there("why", "W-1").out


def test_a_tape_that_must_not_be_warmed_is_not_said_to_wait_for_warmth(there: Any) -> None:
    there("set", "W-1", "base=acetate")
    card = printed(there, "print", "reel", "W-1")
    assert "NO HEAT: sticky on acetate" in card and "warmed and" not in card
    assert "never played before it was warmed" in printed(there, "print", "reel", "W-2")


def test_a_stopped_tape_does_not_run_in_the_list(there: Any, clock: Clock) -> None:
    plays(there, clock)
    assert there("tonight", "stop").status == 0
    (row,) = [line for line in there("tonight").out.splitlines() if "transfer P-1" in line]
    assert row.endswith("stands stopped")


def test_a_line_up_with_a_tape_that_went_bad_takes_a_reason_to_count(there: Any, clock: Clock) -> None:
    assert there("tonight", "begin", STEP).status == 0
    there("set", "C-1", "condition=", "signs=mould")
    ended = there("tonight", "end", STEP)
    assert ended.status == 1 and "C-1 may not run, mould" in ended.err
    assert there("tonight", "end", STEP, "--because", "the path is clean").status == 0
    assert "done 12:00" in there("tonight").out


def test_a_calibration_reel_is_to_be_tested_like_any_other(there: Any) -> None:
    there("set", "C-1", "stock=", "year=", "back_coat=")
    says = "test first, nothing is known of its stock or its year"
    assert "C-1: test it by hand first" in printed(there, "orders")
    assert f"C-1: {says}" in there("tonight", "begin", STEP).err


def test_what_must_stay_out_keeps_no_other_from_going_on(there: Any) -> None:
    loaded(there, "W-1", "W-2")
    assert there("chamber", "--broken-off", "power", "--at", "2026-12-02T11:50").status == 0
    there("set", "W-1", "base=acetate")
    log = there("chamber").out
    assert "W-1: no more heat, sticky on acetate" in log and "give it" not in log.split("W-2:")[0]
    says = "Take W-1 out of chamber C1, where it lies since its load was broken off"
    faces = (there("reels").out, there("tonight").out, there("set", "W-2", "notes=x").err, log)
    assert [says in face for face in faces] == [True] * 4, faces
    assert "NOW" in there("calendar").out.upper() and says[:20] in printed(there, "orders")
    refused = there("chamber", "--go-on")
    assert refused.status == 1 and "take it out first, then say so (`chamber C1 --out W-1`)" in refused.err
    assert there("chamber", "--out", "W-1").status == 0 and says not in there("reels").out
    assert there("chamber", "--go-on").status == 0
    inside = {one["reel"]: one["out"] for one in there("chamber", "--json").json["reels"]}
    assert inside["W-2"] is None and inside["W-1"][11:16] == "12:00"
    there("set", "W-2", "base=acetate")
    assert there("chamber", "--out", "W-2").status == 0


@pytest.mark.parametrize(
    ("told", "why"),
    [
        ("condition=", "W-1 does not go back into chamber C1: it is to be looked at"),
        ("condition=mould", "W-1 does not go back into chamber C1: mould"),
    ],
)
def test_what_would_be_called_out_again_does_not_go_back_and_mould_is_told(
    there: Any, told: str, why: str
) -> None:
    loaded(there, "W-1", "W-2")
    assert there("chamber", "--broken-off", "power", "--at", "2026-12-02T11:50").status == 0
    there("set", "W-1", told)
    first = there("chamber", "--go-on")
    assert first.status == 1 and why in first.err
    assert there("chamber", "--out", "W-1").status == 0
    on = there("chamber", "--go-on")
    assert on.status == 0 and "Take W-1 out" not in on.err
    mould = "C1 held W-1, which has mould: wipe and air it"
    faces = (on.err, there("chamber").out, there("closing").out)
    assert [mould in face for face in faces] == [told == "condition=mould"] * 3


def test_minutes_of_heat_on_acetate_are_told_at_every_door(there: Any, clock: Clock) -> None:
    loaded(there, "W-1")
    assert there("set", "W-1", "base=acetate", "condition=ok", "stock=").status == 0
    assert there("chamber", "--out", "W-1", "--at", "2026-12-02T11:40").status == 0
    clock.at = NOW.replace(hour=18)
    says = "is acetate and was warmed: never again; look closely before it plays"
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    assert says in there("reels").out
    begun = there("tonight", "begin", "transfer W-1", "--because", "to try")
    assert f"W-1 {says}" in begun.err and "of warmth only" not in begun.err
    assert says in there("tonight").out


def test_a_chamber_that_was_too_hot_is_spoken_of_at_the_next_load(there: Any) -> None:
    loaded(there, "W-1")
    assert there("chamber", "--read", "61 top", "--at", "2026-12-02T11:30").status == 0
    assert there("chamber", "--out", "W-1", "--at", "2026-12-02T11:31").status == 0
    says = "C1 read 61 °C on Wed 2 Dec 11:30: warm nothing there until a second thermometer agrees"
    refused = there("load", "C1", "W-2")
    assert refused.status == 1 and says in refused.err
    assert there("load", "C1", "W-2", "--because", "another thermometer agrees").status == 0
    assert says in printed(there, "orders")


def test_a_touch_is_told_alike_by_list_and_log(there: Any, clock: Clock) -> None:
    loaded(there, "W-1")
    assert nexts(there)["W-1"] == "turn at 13:00"
    clock.at = NOW.replace(hour=13, minute=4)
    assert nexts(there)["W-1"] == "turn, 13:00"
    assert "W-1 at 13:00, 4 min late" in there("chamber").out
    assert there("chamber", "--turned").status == 0
    assert nexts(there)["W-1"] == "out at 15:00"


def nexts(run: Any) -> dict[str, str]:
    return {one["reel"]: one["next"] for one in run("reels", "--json").json}


def test_a_lapsed_tape_that_the_plan_warms_first_is_no_reason_to_plan_again(there: Any) -> None:
    lapsed = ("stage=conditioned", "conditioned_at=2026-12-01T04:00", "playable_until=2026-12-02T09:00")
    assert there("set", "W-1", *lapsed).status == 0
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    assert "load chamber C1: W-1" in there("plan", "--show").out
    assert "not playable any more" not in there("songs").err


def test_an_alarm_of_a_sound_tape_says_that_it_needs_no_warmth(there: Any) -> None:
    assert there("set", "P-1", "chamber=C1", "loaded_at=2026-12-02T11:00").status == 0
    assert "now: it needs no warmth: " in alarms(there)["P-1"]


@pytest.mark.parametrize(("hours", "out", "counts"), [("8 h", "12:00", True), ("1 h", "10:00", False)])
def test_a_treatment_that_is_changed_judges_no_load_that_is_over(
    there: Any, clock: Clock, hours: str, out: str, *, counts: bool
) -> None:
    assert there("load", "C1", "W-1", "W-2", "--at", "2026-12-02T08:00").status == 0
    clock.at = NOW.replace(hour=int(out[:2]))
    assert there("chamber", "--out", "W-1").status == 0
    changed = STUDIO.replace('hours = "4 h"', f'hours = "{hours}"')
    assert changed != STUDIO
    Path("studio.toml").write_text(changed)
    assert there("import", "studio.toml", "--update").status == 0
    (told,) = [one for one in there("chamber", "--json").json["reels"] if one["reel"] == "W-1"]
    (row,) = [one for one in there("reels", "--json").json if one["reel"] == "W-1"]
    assert told["hours"] == 4.0
    assert ("too early" in there("chamber").out) is not counts
    assert (row["advice"] == "play", row["stage"] == "conditioned") == (counts, counts)


def test_one_touch_told_at_two_doors_at_once_is_logged_once(there: Any, clock: Clock) -> None:
    """Two bells that rang for one turn, as the key of either does it."""
    loaded(there, "W-1", "W-2")
    clock.at = NOW.replace(hour=13, minute=1)
    books = [Workbook.open(Path("tapes.json"), lambda: clock.at) for _ in range(2)]
    rung = [next_touches(book.shelf, clock.at)[0] for book in books]
    books[0].change(lambda shelf: rung[0].done(shelf, clock.at), what="turn")
    with pytest.raises(Refused, match="turn chamber C1: that of 13:00 was logged at 13:01 already"):
        books[1].change(lambda shelf: rung[1].done(shelf, clock.at), what="turn")
    told = there("chamber", "--json").json
    assert [one["due"][11:16] for one in told["turns"] if one["done"]] == ["13:00"]
    assert {one["out"] for one in told["reels"]} == {None}


def test_what_is_taken_out_at_an_alarm_turned_nothing(there: Any, clock: Clock) -> None:
    loaded(there, "W-1", "W-2")
    there("set", "W-1", "condition=", "signs=mould")
    clock.at = NOW.replace(hour=13, minute=2)
    book = Workbook.open(Path("tapes.json"), lambda: clock.at)
    out = next_touches(book.shelf, clock.at)[0]
    assert out.urgent
    book.change(lambda shelf: out.done(shelf, clock.at), what="out")
    assert alarms(there) == {} and nexts(there)["W-2"] == "turn, 13:00"
    assert [one["done"] for one in there("chamber", "--json").json["turns"]] == [None]


def test_a_tape_that_was_warmed_against_its_base_says_so_beside_what_bars_it(
    there: Any, clock: Clock
) -> None:
    assert there("load", "C1", "W-1").status == 0
    clock.at += timedelta(minutes=30)
    assert there("set", "W-1", "base=acetate").status == 0
    assert there("chamber", "C1", "--out", "W-1").status == 0
    warmed, bars = "is acetate and was warmed: never again", "sticky on acetate, which must never be warmed"
    (row,) = (one for one in there("reels", "--json").json if one["reel"] == "W-1")
    assert warmed in row["blocked"] and bars in row["blocked"]
    (line,) = (one for one in there("reels").out.splitlines() if one.startswith("W-1"))
    assert warmed in line and bars in line
    assert there("set", "W-3", "base=acetate").status == 0
    (line,) = (one for one in there("reels").out.splitlines() if one.startswith("W-3"))
    assert bars in line and "was warmed" not in line, "what bars it is not cut"


def test_mould_is_lifted_out_with_the_fan_off_gloves_and_a_mask(there: Any) -> None:
    """Who follows the words in their order is protected before the tape is touched."""
    loaded(there, "W-1", "W-2")
    said = there("set", "W-1", "condition=", "signs=mould").err
    said = said[said.index("Take W-1 out") :]
    order = [
        "out of chamber C1 now",
        "the fan off",
        "gloves",
        "mask",
        "bag it where it stands",
        "Look at the rest",
    ]
    assert [said.index(one) for one in order] == sorted(said.index(one) for one in order)
