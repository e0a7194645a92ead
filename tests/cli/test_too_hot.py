"""A chamber that showed the hard stop: what lies in it, what is loaded next, what a later reading mends."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from alarmshelf import NOW, Clock, alarms, printed

OUT = "Take W-1 out of chamber C1 now, where it lies since its load was broken off: it reads 62 °C"


def hot(run: Any, clock: Clock) -> None:
    """W-1 is in the chamber since noon, which reads 62 °C at 13:00."""
    assert run("load", "C1", "W-1").status == 0
    clock.at = NOW + timedelta(hours=1)
    assert run("chamber", "--read", "62").status == 0


def test_what_lies_in_a_hot_chamber_stays_an_alarm_until_it_is_out(there: Any, clock: Clock) -> None:
    hot(there, clock)
    assert there("chamber", "--broken-off", "too hot").status == 0
    assert alarms(there)["W-1"].startswith(OUT)
    assert OUT in there("tonight").out + there("tonight").err and OUT in printed(there, "orders")
    assert "take W-1 out of chamber C1" in there("calendar").out.replace("\r\n ", "")
    assert there("chamber", "--out", "W-1").status == 0
    assert alarms(there) == {}


def test_a_load_that_was_hot_and_went_on_is_no_alarm(there: Any, clock: Clock) -> None:
    hot(there, clock)
    assert there("chamber", "--broken-off", "too hot").status == 0
    clock.at = NOW + timedelta(hours=1, minutes=10)
    assert there("chamber", "--read", "54").status == 0
    assert there("chamber", "--go-on").status == 0
    assert alarms(there) == {}


def test_no_reading_that_is_still_to_come_mends_one_that_was_read(there: Any, clock: Clock) -> None:
    hot(there, clock)
    for words in (("--read", "54"), ("--empty-run", "54 C"), ("--go-on",)):
        told = there("chamber", "C1", *words, "--at", "2026-12-02T18:00")
        assert told.status == 1 and "what has not happened counts with --because WHY only" in told.err, words
    assert "Switch chamber C1 off" in alarms(there)["W-1"]


def test_no_plan_forgets_a_hard_stop_for_another_load(there: Any, clock: Clock) -> None:
    """A chamber that showed the hard stop takes no load that evening, unless an empty run reads well."""
    hot(there, clock)
    assert there("chamber", "--out", "W-1").status == 0
    assert there("load", "C1", "W-2", "--because", "trust me").status == 0
    clock.at += timedelta(minutes=2)
    assert there("chamber", "--out", "W-2").status == 0
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    loads = [one for one in there("plan", "--show", "--json").json["items"] if one["kind"] == "condition"]
    assert loads and all(one["start"] >= "2026-12-03T04:00" for one in loads)


def test_no_plan_warms_what_was_too_hot_before_it_was_looked_at(there: Any, clock: Clock) -> None:
    hot(there, clock)
    assert there("chamber", "--out", "W-1").status == 0
    assert there("chamber", "C1", "--empty-run", "54 C").status == 0
    clock.at += timedelta(minutes=30)
    assert there("chamber", "C1", "--read", "54").status == 0
    made = there("plan", "--days", "2", "--effort", "0.2", "--json").json
    (why,) = [one["why"] for one in made["left_over"] if one["reel"] == "W-1"]
    assert why.startswith("lay in C1 at 62 °C: let it cool and look at it")
    assert all(who["reel"] != "W-1" for one in made["items"] for who in one.get("reels", ()))
    refused = there("load", "C1", "W-1")
    assert (refused.status, "`reelturn tonight looked W-1`" in refused.err) == (1, True)
    assert there("tonight", "looked", "W-1").status == 0
    again = there("plan", "--days", "2", "--effort", "0.2", "--json").json
    assert any(who["reel"] == "W-1" for one in again["items"] for who in one.get("reels", ()))


def test_minutes_before_its_hours_are_up_a_tape_stays_in(there: Any, clock: Clock) -> None:
    """Four hours from noon: what comes out at 15:56 counts as not treated, and is warmed for four more."""
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at = NOW + timedelta(hours=2)
    assert there("chamber", "--turned").status == 0
    clock.at = NOW + timedelta(hours=3, minutes=56)
    told = there("chamber", "--out", "W-1")
    says = "W-1 has its hours at 16:00, in 4 min: out before, it counts as not treated: leave it in till then"
    assert (told.status, says in told.err) == (1, True)
    told = there("chamber", "--turned")
    assert told.status == 1 and "at 16:00, in 4 min: out before, it counts as not treated" in told.err
    told = there("tonight", "begin", "take out chamber C1")
    assert told.status == 1 and "in 4 min: out before, it counts as not treated" in told.err
    assert there("chamber", "--out", "W-1", "--because", "the house is left").status == 0
    assert there("set", "W-2", "base=acetate", "base_seen=acetate").status == 0
    assert there("chamber", "--out", "W-2").status == 0  # it must come out at once


def test_the_calendar_gives_no_place_to_what_comes_out_at_once(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    clock.at = NOW + timedelta(minutes=30)
    assert there("set", "W-1", "base_seen=acetate").status == 0
    told = there("calendar").out.replace("\r\n ", "")
    turn = told.partition("SUMMARY:Turn chamber C1")[2].partition("END:VEVENT")[0]
    assert "W-1: to come out at once" in turn and "W-1: place" not in turn and "W-2: place" in turn


def test_a_mouldy_tape_that_came_out_has_no_days_to_play(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1").status == 0
    clock.at = NOW + timedelta(hours=4, minutes=2)
    assert there("chamber", "--out", "W-1").status == 0
    assert "playable" in there("chamber").out
    assert there("set", "W-1", "condition=sticky;mould").status == 0
    assert "playable" not in there("chamber").out.partition("Take care")[0]


def test_columns_that_put_a_tape_into_the_heat_say_what_its_chamber_was(there: Any, clock: Clock) -> None:
    put_in = ("chamber=C1", "loaded_at=2026-12-02T12:30")
    told = there("set", "W-2", *put_in)
    assert told.status == 0 and "C1 had no empty run yet" in told.err
    assert there("undo").status == 0
    assert there("chamber", "C1", "--empty-run").status == 0
    assert there("chamber", "C1", "--read", "64").status == 0
    clock.at += timedelta(hours=1)
    told = there("set", "W-2", *put_in)
    assert told.status == 0 and "C1 read 64 °C on Wed 2 Dec 12:00: warm nothing there until" in told.err
    assert there("undo").status == 0
    assert there("set", "W-1", *put_in).status == 0 and there("chamber", "--out", "W-1").status == 0
    assert there("set", "W-1", "signs=mould").status == 0
    told = there("set", "W-2", "chamber=C1", "loaded_at=2026-12-02T13:00")
    assert "C1 held W-1, which has mould: wipe and air it" in told.err
    assert "C1 held" not in there("set", "W-2", "year=1984").err
