"""Warmth that rests on a word, take-outs that stand in a log, bases told two ways, signs beside ok."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import ROW, STEP, Clock, alarms, plays, printed
from doorshelf import put
from icalendar import Calendar

WORD = "its warmth rests on your word"


def told_of(run: Any, key: str) -> dict[str, Any]:
    return next(one for one in run("reels", "--json").json if one["reel"] == key)


@pytest.mark.parametrize("how", ["set", "import"])
def test_a_stage_without_a_date_says_at_every_face_that_it_is_a_word(there: Any, how: str) -> None:
    if how == "set":
        done = there("set", "W-1", "stage=conditioned")
    else:
        done = put(there, [{"reel": "W-1", "stage": "aligned"}], "--update")
    assert (
        done.status == 0 and done.err.count("W-1: it counts as warmed by its stage alone, no take-out") == 1
    )
    refused = there("load", "C1", "W-1")
    assert refused.status == 1 and WORD in refused.err and "playable time" not in refused.err
    assert there("plan", "--days", "3", "--effort", "0.3").status == 0
    assert any(one["reel"] == "W-1" for one in plan_items(there, "transfer"))
    assert told_of(there, "W-1")["next"].startswith("your word: ")
    order = printed(there, "orders")
    assert WORD in order and "never played before it was warmed" not in order.split("W-2")[0]
    assert "sticky, and no take-out is written" in order
    events = Calendar.from_ical(there("calendar").out).walk("VEVENT")
    assert any(WORD in str(one.get("description", "")) for one in events)
    assert WORD in there("source", "W-1").out
    assert "! W-1: it counts as warmed by its stage alone" in there("tonight").out
    asked = there("tonight", "begin", "transfer W-1")
    assert asked.status == 1 and WORD in asked.err
    assert there("tonight", "begin", "transfer W-1", "--because", "warmed at the archive").status == 0


def plan_items(run: Any, kind: str) -> list[dict[str, Any]]:
    return [one for one in run("plan", "--show", "--json").json["items"] if one["kind"] == kind]


def test_what_was_warmed_with_a_date_is_no_word(there: Any) -> None:
    told = there("set", "W-1", "stage=conditioned", "conditioned_at=2026-12-02T02:00")
    assert told.status == 0 and "your word" not in told.err
    assert "warm W-1 Wed 2 Dec 12:00 (warmed since this plan was made)" in told.err  # its planned load
    assert "word" not in told_of(there, "W-1")["next"]
    assert "inside its playable time" in there("source", "W-1").out


def out_an_hour_ago(run: Any, clock: Clock) -> None:
    """W-1 had its four hours and came out at noon; it is one."""
    assert run("load", "C1", "W-1", "--at", "2026-12-02T08:00").status == 0
    assert run("chamber", "C1", "--out", "W-1", "--at", "2026-12-02T12:00").status == 0
    clock.at += timedelta(hours=1)


@pytest.mark.parametrize("how", ["set", "import"])
def test_a_take_out_in_the_log_stands_above_an_emptied_cell(there: Any, clock: Clock, how: str) -> None:
    out_an_hour_ago(there, clock)
    if how == "set":
        done = there("set", "W-1", "conditioned_at=")
    else:
        done = put(there, [{"reel": "W-1", "conditioned_at": "", "playable_until": ""}], "--update")
    assert done.status == 0
    assert "W-1: its take-out Wed 02 Dec 12:00 stands in the chamber's log, it cools until" in done.err
    assert told_of(there, "W-1")["next"] == "cools to 16:00"
    assert there("plan", "--days", "3", "--effort", "0.3").status == 0
    (plays_at,) = [one["start"] for one in plan_items(there, "transfer") if one["reel"] == "W-1"]
    assert plays_at >= "2026-12-02T16:00"
    assert there("mark", "W-1", "identified", "--because", "it was off").status == 0
    assert told_of(there, "W-1")["next"] == "warm 4 h"


def test_what_leaves_the_heat_by_a_cell_tells_the_hours_it_had_and_waits_for_warmth(
    there: Any, clock: Clock
) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(minutes=30)
    done = there("set", "W-1", "chamber=", "loaded_at=", "stage=conditioned")
    assert done.status == 0 and "W-1: it had 30 min of 4 h of warmth only" in done.err
    assert told_of(there, "W-1")["next"] == "warm again 4 h", "hours that were too few are no treatment"
    chamber = there("chamber", "C1").out
    assert (
        "W-1: 30 min of 4 h, out 12:30, too early" in chamber
        and "W-2: 30 min of 4 h, out at 16:00" in chamber
    )
    assert there("undo").status == 0
    assert "W-1: 30 min of 4 h, out at 16:00" in there("chamber", "C1").out


@pytest.mark.parametrize("base", ["acetate", "pvc"])
def test_a_base_told_two_ways_is_never_taken_for_the_careless_one(there: Any, base: str) -> None:
    doubt = {"base": base, "base_seen": "polyester"}
    rows = [
        {"reel": "B-1", **doubt, "stock": "", "back_coat": "yes", "year": "1978"},
        {"reel": "B-2", **doubt, "stock": "Agfa PEM 468"},
        {"reel": "B-3", **doubt, "condition": "sticky", "back_coat": "yes"},
        {"reel": "B-4", **doubt},
    ]
    assert put(there, [ROW | one for one in rows]).status == 0
    words = {one["reel"]: one["advice"] for one in there("reels", "--json").json}
    assert [words[key] for key in ("B-1", "B-2", "B-3", "B-4")] == ["test first"] * 2 + ["look first", "play"]
    for key in ("B-1", "B-2", "B-3", "B-4"):
        assert there("load", "C1", key, "--because", "x").status == 1, key
    assert f"{base} is written, and polyester was seen" in told_of(there, "B-3")["blocked"]
    assert there("set", "B-3", "base=polyester").status == 0
    assert told_of(there, "B-3")["advice"] == "warm"


def test_sticky_without_a_back_coat_is_answered_by_a_swab(there: Any) -> None:
    assert there("set", "P-1", "condition=sticky").status == 0
    row = told_of(there, "P-1")
    assert row["advice"] == "test first" and "tried=gum" in row["blocked"]
    assert there("set", "P-1", "tried=gum").status == 0
    assert told_of(there, "P-1")["advice"] == "warm" and there("load", "C1", "P-1").status == 0
    assert there("set", "P-2", "condition=", "tried=gum").status == 0  # gum alone is sticky enough
    assert told_of(there, "P-2")["advice"] == "look first"
    assert there("set", "P-2", "condition=sticky", "base=acetate").status == 0
    assert told_of(there, "P-2")["advice"] == "never"


def test_mould_beside_ok_says_what_to_type_and_what_to_do_before(there: Any, clock: Clock) -> None:
    rest = there("set", "P-2", "signs=mould")
    assert rest.status == 1 and "condition= signs=mould" in rest.err and "now" not in rest.err
    plays(there, clock)
    refused = there("set", "P-1", "signs=mould")
    assert refused.status == 1 and refused.err.count("\n") == 1
    assert "it runs on D1: if you saw mould, stop the tape now" in refused.err
    assert there("set", "P-1", "condition=", "signs=mould").status == 0
    assert "P-1" in alarms(there)


def purposes(run: Any) -> Iterator[set[str]]:
    """Whom every line-up is said to be for, on the orders and in the calendar."""
    names = r"for [WP]-\d(?:(?:, | and )[WP]-\d)*"
    yield set(re.findall(rf"· ({names})", printed(run, "orders")))
    text = run("calendar").out.replace("\r\n ", "").replace("\\,", ",")
    yield set(re.findall(rf"\(({names})\)", text))


def test_a_line_up_is_for_those_that_are_left(there: Any) -> None:
    for named in purposes(there):
        assert any("P-1" in one for one in named) and any("P-2" in one for one in named)
    assert there("set", "P-1", "condition=", "signs=mould").status == 0
    for named in purposes(there):
        assert not any("P-1" in one for one in named) and any("P-2" in one for one in named)
    shown = there("plan", "--show").out
    assert ") for P-2" in shown and not re.search(r"\) for [^\n:]*P-1", shown)


def test_what_goes_in_for_a_reason_goes_on_saying_what_speaks_against_it(there: Any) -> None:
    assert there("set", "W-1", "stock=Scotch 111", "base_seen=", "back_coat=yes").status == 0
    against = "its stock or the words on its box say acetate, not polyester"
    assert against in there("load", "C1", "W-1").err
    done = there("load", "C1", "W-1", "W-2", "--because", "its leader was")
    says = f"W-1 is in C1 for a reason of yours (its leader was): {against}"
    assert done.status == 0 and says in done.err and "W-2 is in C1" not in done.err
    assert f"! {says}" in there("chamber", "C1").out
    assert there("plan", "--days", "2", "--effort", "0.1").status == 0
    assert f"! {says}" in printed(there, "orders")
    assert there("set", "W-1", "base_seen=yes").status == 0
    assert "for a reason of yours" not in there("chamber", "C1").out + printed(there, "orders")


@pytest.mark.parametrize(
    ("stock", "base"),
    [
        ("3M 111 acetate", "acetate"), ("Scotch 111A", "acetate"), ("Scotch 111-1200", "acetate"),
        ("Ampex 511 acetate", "acetate"), ("paper tape", "paper"), ("PVC Genotherm", "pvc"),
        ("Ampex 456 Grand Master", ""), ("Ampex 456", ""), ("Harbour 111", ""),
    ],
)  # fmt: skip
def test_a_box_that_speaks_of_another_base_is_looked_at_before_any_heat(
    there: Any, stock: str, base: str
) -> None:
    """Scotch 111 is on acetate by the table of stocks; a plain word on a box tells as much."""
    assert there("set", "W-1", f"stock={stock}", "base=polyester", "base_seen=", "back_coat=yes").status == 0
    told = told_of(there, "W-1")
    against = f"its stock or the words on its box say {base}, not polyester"
    assert (told["advice"] == "look first") == bool(base)
    done = there("load", "C1", "W-1")
    assert (against in done.err) == bool(base) and (done.status == 1 or not base)
    if base:
        assert there("set", "W-1", "base_seen=yes").status == 0
        assert told_of(there, "W-1")["advice"] == "warm" and there("load", "C1", "W-1").status == 0


@pytest.mark.parametrize(
    ("label", "looks"),
    [
        ("Acetate!", True), ("acetate?", True), ("Old acetate reel", True), ("ACETATE 1955", True),
        ("cellulose acetate", True), ("paper", True), ("on paper", True), ("Paper reel", True), ("PVC", True),
        ("vinyl (PVC) base", True), ("Luvitherm", True), ("acetate base", True), ("no acetate", False),
        ("dubbed from an acetate", False), ("copy of acetate disc", False), ("Paper boats", False),
        ("Brown paper blues", False), ("Azetat-Band", True), ("acétate de cellulose", True),
        ("acetato", True), ("P.V.C.", True), ("Papierband", True), ("bande papier", True),
        ("Papier Mond", False), ("Acetylcellulose", True), ("Celluloseacetat", True), ("safety base", True),
        ("papier", True), ("kraft paper", True), ("vinyl base", True), ("polyvinyl", True),
        ("vinyl master", False), ("celluloid", True), ("cinta de papel", True), ("fita de papel", True),
    ],
)  # fmt: skip
def test_a_base_on_the_box_is_looked_at_however_it_is_written(there: Any, label: str, looks: bool) -> None:
    """Common practice of the trade: what a box calls acetate, paper or PVC is looked at before any heat."""
    assert there("set", "W-1", f"box_label={label}", "base_seen=").status == 0
    assert (told_of(there, "W-1")["advice"] == "look first") is looks
    assert (there("load", "C1", "W-1").status == 1) is looks


def test_a_label_that_names_an_acetate_tape_counts_and_a_song_of_paper_does_not(there: Any) -> None:
    assert there("set", "W-1", "box_label=Paper Moon", "base_seen=").status == 0
    assert told_of(there, "W-1")["advice"] == "warm"
    assert there("set", "W-1", "box_label=Moon, acetate tape").status == 0
    assert told_of(there, "W-1")["advice"] == "look first"


@pytest.mark.parametrize("how", ["out", "broken off"])
def test_a_sound_tape_that_leaves_the_heat_early_cools_before_it_plays(
    there: Any, clock: Clock, how: str
) -> None:
    assert there("load", "C1", "P-1", "--because", "damp").status == 0
    clock.at += timedelta(hours=1)
    act = ("--out", "P-1") if how == "out" else ("--broken-off", "power")
    assert there("chamber", "C1", *act).status == 0
    assert told_of(there, "P-1")["next"] == "cools to 14:00"
    refused = there("tonight", "begin", "transfer P-1")
    assert refused.status == 1 and "still cooling" in refused.err
    assert there("plan", "--days", "2", "--effort", "0.3").status == 0
    (plays_at,) = [one["start"] for one in plan_items(there, "transfer") if one["reel"] == "P-1"]
    assert plays_at >= "2026-12-02T14:00"
    clock.at += timedelta(hours=1)
    assert told_of(there, "P-1")["next"] == "had 1 h of 4 h: line up D1"


def test_the_closing_look_names_what_is_overdue_in_the_heat(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(hours=2, minutes=10)
    assert "Next: turn chamber C1 now, was due today 14:00: W-1, W-2" in there("closing").out
    clock.at += timedelta(hours=2, minutes=10)
    for day in ("today", "Wed 2 Dec"):
        told = there("closing").out
        assert f"till all is out, which was due {day} 16:10: take it out now" in told
        assert f"Next: take out chamber C1 now, was due {day} 16:00: W-1, W-2" in told
        assert "C1: switched off" not in told
        clock.at += timedelta(hours=8)
    assert there("set", "W-1", "stage=verified").status == 0
    assert told_of(there, "W-1")["next"].startswith("take out, ")
    assert there("chamber", "C1", "--out", "W-1").status == there("chamber", "C1", "--out", "W-2").status == 0
    assert "C1 is warm" not in there("closing").out


def test_what_stays_in_past_its_hours_keeps_no_other_work_from_its_place(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(hours=4, minutes=15)
    assert there("plan", "--days", "3", "--effort", "0.3").status == 0
    assert {one["reel"] for one in plan_items(there, "transfer")} == {"P-1", "P-2", "W-3"}
    left = there("plan", "--show", "--json").json["left_over"]
    assert [(one["reel"], "take it out now, then plan again" in one["why"]) for one in left] == [
        ("W-1", True),
        ("W-2", True),
    ]
    for key in ("W-1", "W-2"):
        assert there("chamber", "C1", "--out", key).status == 0
    assert there("plan", "--days", "3", "--effort", "0.3").status == 0
    assert len(plan_items(there, "transfer")) == 5


def test_what_is_still_to_come_is_not_written_at_the_chamber_and_pointed_out_elsewhere(there: Any) -> None:
    late = ("--at", "2026-12-03T10:00")
    loaded = there("load", "C1", "W-1", *late)
    assert loaded.status == 0 and "this load begins 22 h ahead" in loaded.err
    assert there("undo").status == 0 and there("load", "C1", "W-1").status == 0
    for act in (("--out", "W-1"), ("--turned",), ("--broken-off", "power")):
        refused = there("chamber", "C1", *act, *late)
        assert refused.status == 1 and "is 22 h ahead" in refused.err, act
    assert there("chamber", "C1", *late).status == 0  # only a look
    marked = there("mark", "P-1", "transferred", *late)
    assert marked.status == 0 and "that is 22 h ahead, and it is written as done" in marked.err


@pytest.mark.parametrize("stage", ["conditioned", "aligned"])
def test_a_sound_tape_marked_further_waits_for_warmth_when_it_turns_out_sticky(
    there: Any, stage: str
) -> None:
    assert there("mark", "P-1", stage).status == 0
    found = ("condition=sticky", "stock=Ampex 456")
    done = there("set", "P-1", *found)
    assert done.status == 0 and f"P-1: it was marked {stage} without any warmth" in done.err
    row = told_of(there, "P-1")
    assert (row["stage"], row["advice"]) == ("identified", "warm")
    assert there("undo").status == 0 and told_of(there, "P-1")["advice"] == "play"
    if stage == "conditioned":  # by the other mark the deck is lined up already
        assert [there("tonight", act, STEP).status for act in ("begin", "end")] == [0, 0]
    assert there("tonight", "begin", "transfer P-1").status == 0
    assert "Stop P-1 on D1 now" in there("set", "P-1", *found).err
    assert there("set", "P-1", f"stage={stage}").status == 0  # now it is somebody's word
    assert told_of(there, "P-1")["advice"] == "play"


def test_what_is_struck_out_of_its_load_or_was_never_looked_at_is_struck_behind_it(there: Any) -> None:
    found = {
        "reel": "U-1",
        "stock": "Ampex 456",
        "condition": "",
        "stage": "found",
        "base": "",
        "base_seen": "",
    }
    assert put(there, [ROW | found]).status == 0
    assert there("plan", "--days", "3", "--effort", "0.3").status == 0

    def struck(key: str) -> set[str]:
        lines = there("plan", "--show").out.splitlines()
        return {line.split()[2] for line in lines if f" {key}" in line and line.strip().startswith("x ")}

    assert struck("U-1") == set()
    assert there("set", "U-1", "base=acetate").status == 0
    assert {"load", "transfer", "verify"} <= struck("U-1")
    assert "Transfer U-1" not in printed(there, "orders").replace("not any more: Transfer U-1", "")
    assert there("set", "P-1", "stage=found", "condition=").status == 0
    assert {"transfer", "verify"} <= struck("P-1") and struck("P-2") == set()


def test_an_old_file_that_puts_a_played_tape_back_says_so(there: Any, clock: Clock) -> None:
    plays(there, clock)
    clock.at += timedelta(minutes=20)
    assert there("tonight", "end", "transfer P-1", "--because", "heard").status == 0
    put_back = put(there, [ROW | {"reel": "P-1"}], "--update")
    assert put_back.status == 0
    assert "P-1: it was transferred (it ran Wed 02 Dec 12:00), and is identified by this" in put_back.err
    assert there("undo").status == 0 and told_of(there, "P-1")["stage"] == "transferred"
    assert "played once more" in there("set", "P-1", "stage=identified").err


def test_a_take_out_years_ahead_is_answered(there: Any) -> None:
    assert there("load", "C1", "W-1").status == 0
    assert there("mark", "W-1", "conditioned", "--at", "2030-01-01T10:00").status == 0
    assert len(there("chamber", "C1", "--json").json["turns"]) < 20


def test_a_slip_at_the_thermometer_is_put_right_by_its_minute(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1").status == 0
    clock.at += timedelta(hours=1, seconds=20)
    assert there("chamber", "C1", "--read", "63 top").status == 0 and "W-1" in alarms(there)
    clock.at += timedelta(seconds=15)
    assert there("chamber", "C1", "--read", "54 top").status == 0  # read later, and no correction
    assert "W-1" in alarms(there)
    assert there("chamber", "C1", "--read", "54 top", "--at", "2026-12-02T13:00").status == 0
    assert alarms(there) == {} and "63" not in there("chamber", "C1").out


def test_a_load_goes_on_without_what_is_gone_or_captured(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    clock.at += timedelta(hours=1)
    assert there("chamber", "C1", "--broken-off", "power").status == 0
    assert there("remove", "W-2").status == 1, "it lies there until it is told out"
    assert there("chamber", "C1", "--out", "W-2").status == 0
    assert there("remove", "W-2").status == 0
    assert there("mark", "W-3", "transferred", "--because", "played elsewhere").status == 0
    assert there("chamber", "C1", "--go-on").status == 0
    inside = [one["reel"] for one in there("reels", "--json").json if "warm in C1" in str(one["blocked"])]
    assert inside == ["W-1"] and told_of(there, "W-3")["next"] == "verify"


#: What one key tells beside the stock of the other, and the word of the tape that they are.
MERGED = {
    "acetate by its row": ("W-1", {"stock": "Scotch 111", "base": "", "condition": "sticky"}, "never"),
    "known to become sticky": ("P-1", {"stock": "Ampex 456", "condition": "ok"}, "warm"),
    "only written like": ("W-1", {"stock": "Ampex 456 Grand Master", "condition": "ok"}, "which stock"),
    "the same": ("P-1", {"stock": "harbour 12"}, "play"),
}


@pytest.mark.parametrize("what", MERGED)
def test_two_keys_that_name_two_stocks_are_taken_for_the_one_that_asks_for_more_care(
    there: Any, what: str
) -> None:
    keep, told, word = MERGED[what]
    assert there("set", keep, "base_seen=").status == 0
    assert put(there, [ROW | {"reel": "X-1", "base_seen": ""} | told]).status == 0
    assert there("merge", keep, "X-1").status == 0
    assert told_of(there, keep)["advice"] == word


@pytest.mark.parametrize("typed", ["2026-12-01T10:00", "2026-12-02T07:55"])
def test_a_take_out_from_an_old_list_does_not_stand_above_the_log(
    there: Any, clock: Clock, typed: str
) -> None:
    out_an_hour_ago(there, clock)
    done = put(there, [{"reel": "W-1", "stage": "conditioned", "conditioned_at": typed}], "--update")
    assert done.status == 0 and "W-1: its take-out Wed 02 Dec 12:00 stands in the chamber's log" in done.err
    assert told_of(there, "W-1")["next"] == "cools to 16:00"
    later = there("set", "W-1", "conditioned_at=2026-12-02T12:20")  # one that is later harms nothing
    assert (later.status, later.err) == (0, "") and told_of(there, "W-1")["next"] == "cools to 16:20"


@pytest.mark.parametrize("how", ["set", "import"])
def test_what_is_typed_of_warmth_while_a_tape_is_in_the_heat_is_none(
    there: Any, clock: Clock, how: str
) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    row = {"stage": "conditioned", "conditioned_at": "2026-12-01T10:00"}
    if how == "set":
        done = there("set", "W-1", *(f"{name}={value}" for name, value in row.items()))
    else:
        done = put(there, [{"reel": "W-1", **row}], "--update")
    assert done.status == 0 and done.err.count("W-1: it is in chamber C1: its take-out") == 1
    assert (told_of(there, "W-1")["stage"], told_of(there, "W-1")["next"]) == ("identified", "turn at 14:00")
    clock.at += timedelta(minutes=27)
    assert "too early" in there("chamber", "--out", "W-1").out
    assert told_of(there, "W-1")["stage"] == "identified"
    assert there("tonight", "begin", "transfer W-1").status == 1


def test_an_old_list_puts_no_tape_back_into_the_heat(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2", "--at", "2026-12-02T08:00").status == 0
    assert there("export", "old").status == 0
    assert there("chamber", "C1", "--out", "W-1", "--at", "2026-12-02T12:00").status == 0
    was = told_of(there, "W-1")
    done = there("import", "--update", "old/reels.csv")
    assert done.status == 0 and done.err.count("W-1: it is out of chamber C1 by the chamber's log") == 1
    assert told_of(there, "W-1") == was and was["next"] == "cools to 16:00"
    inside = {one["reel"]: one["out"] for one in there("chamber", "--json").json["reels"]}
    assert inside["W-2"] is None and "W-2:" not in done.err


@pytest.mark.parametrize(
    ("base", "says"),
    [("acetate", "is acetate and was warmed: never again"), ("unknown", "before its base was known")],
)
def test_a_tape_warmed_against_its_base_says_so_at_the_commands(
    there: Any, clock: Clock, base: str, says: str
) -> None:
    out_an_hour_ago(there, clock)
    assert there("set", "W-1", f"base={base}", "base_seen=").status == 0
    assert says in told_of(there, "W-1")["blocked"]
    clock.at += timedelta(hours=4)
    refused = there("tonight", "begin", "transfer W-1")
    assert refused.status == 1
    assert f"W-1 does not begin: W-1: it {'is' if base == 'acetate' else 'was'}" in refused.err


def test_a_tape_told_out_of_the_heat_ahead_is_said_to_lie_there(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(hours=2)
    out = (clock.at + timedelta(hours=2, minutes=5)).strftime("%Y-%m-%dT%H:%M")
    says = "W-1 lies in chamber C1 until Wed 16:05, by your word: take it out then"
    assert says in there("mark", "W-1", "conditioned", "--at", out).err
    assert says in there("tonight").out and says in there("closing").out
    clock.at += timedelta(hours=2, minutes=6)
    assert says not in there("tonight").out


def test_a_take_out_by_a_list_that_was_too_early_counts_as_no_treatment(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1").status == 0
    clock.at += timedelta(hours=2)
    out = (clock.at - timedelta(minutes=35)).strftime("%Y-%m-%dT%H:%M")
    Path("list.csv").write_text(f"reel,chamber,loaded_at,stage,conditioned_at\nW-1,,,conditioned,{out}\n")
    told = there("import", "--update", "list.csv")
    assert told.status == 0 and "W-1: it had 1 h 25 of 4 h of warmth only" in told.err, told.err
    row = told_of(there, "W-1")
    assert (row["stage"], row["advice"]) == ("identified", "warm"), row
