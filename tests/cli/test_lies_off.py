"""Tapes that lie in a chamber which is off, at every door, until somebody tells that they are out."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
from alarmshelf import Clock, alarms, printed
from pypdf import PdfReader

LIE = "R-002 and R-014 lie in C1, off since Tue 1 Dec 18:30"
SAYS = f"{LIE} (power): on again by 19:30 their hours count; else take them out and say so"


@pytest.fixture
def off(run: Any, shelf: Path) -> str:
    """A load of a 1-inch reel and a quarter-inch one since 16:30, broken off at 18:30; it is 18:52."""
    words = ("load", "C1", "R-002", "R-014", "--at", "2026-12-01T16:30", "--because", "home till one")
    assert run(*words).status == 0
    assert run("chamber", "--broken-off", "power", "--at", "2026-12-01T18:30").status == 0
    return "2026-12-01T18:30"


def test_every_face_says_what_lies_there_and_what_to_do(run: Any, off: str, tmp_path: Path) -> None:
    assert SAYS in run("plan", "--seconds", "0").out
    assert SAYS in run("tonight").out
    assert SAYS in run("closing").out
    assert SAYS in run("chamber").out
    assert run("orders", "--out", str(tmp_path)).status == 0
    paper = PdfReader(next(iter(sorted(tmp_path.glob("order-*.pdf"))))).pages[0].extract_text()
    assert LIE in " ".join(paper.split())
    assert run("chamber", "--out", "R-002", "R-014").status == 0
    assert LIE not in run("tonight").out + run("closing").out


def test_nothing_else_begins_in_a_chamber_that_was_not_told_to_be_empty(run: Any, off: str) -> None:
    way = f"{LIE}: take them out first, then say so (`chamber C1 --out R-002 R-014`)"
    for words in (("load", "C1", "R-009", "--because", "x"), ("chamber", "C1", "--empty-run", "54 C")):
        told = run(*words)
        assert (told.status, way in told.err) == (1, True), words
    assert run("chamber", "--out", "R-002", "R-014", "C1").status == 0
    assert run("load", "C1", "R-009", "--because", "x").status == 0
    running = run("chamber", "C1", "--empty-run", "54 C")
    assert (running.status, "C1 holds R-009: an empty run has no tape in it" in running.err) == (1, True)


def test_the_same_tapes_may_go_in_again_as_a_new_load(run: Any, off: str) -> None:
    assert run("load", "C1", "R-014", "--because", "x").status == 1, "R-002 lies there too"
    assert run("load", "C1", "R-002", "R-014", "--because", "home till three").status == 0
    assert LIE not in run("tonight").out


def test_an_alarm_there_outlives_whatever_is_tried_with_the_chamber(run: Any, off: str) -> None:
    assert run("set", "R-002", "base=acetate").status == 0
    assert run("load", "C1", "R-009", "--because", "x").status == 1
    assert "Take R-002 out of chamber C1" in run("tonight").out


def test_a_time_without_warmth_moves_what_rings_and_is_the_reason_told(there: Any, clock: Clock) -> None:
    assert there("plan", "--days", "4", "--effort", "0.3").status == 0
    items = there("plan", "--show", "--json").json["items"]
    load = min((one for one in items if one["kind"] == "condition"), key=lambda one: str(one["start"]))
    began = datetime.fromisoformat(load["start"])
    clock.at = began
    keys = [one["reel"] for one in load["reels"]]
    assert there("load", load["chamber"], *keys, "--because", "x").status == 0
    before = takes_out(there("calendar").out)
    clock.at = began + timedelta(minutes=70)
    assert there("chamber", "--broken-off", "power").status == 0
    clock.at = began + timedelta(minutes=100)
    assert there("chamber", "--go-on").status == 0
    told, since = there("tonight"), began + timedelta(minutes=70)
    off = f"was off from {since:%H:%M} to {clock.at:%H:%M}, and its tapes come out later"
    assert off in told.out + told.err
    assert takes_out(there("calendar").out) == before + timedelta(minutes=30)


def takes_out(text: str) -> datetime:
    """When the first take-out of the calendar that stands rings."""
    events = icalendar.Calendar.from_ical(text).walk("VEVENT")
    return min(one.start for one in events if str(one["SUMMARY"]).startswith("Take out of"))


def test_a_touch_of_a_load_that_never_began_is_not_done(there: Any, clock: Clock) -> None:
    assert "load chamber C1" in there("tonight").out
    clock.at += timedelta(hours=5)
    rows = there("tonight").out
    assert "late: now" not in rows and "chamber late" not in rows, "nothing is inside that could be late"
    for kind in ("turn chamber", "take out chamber"):
        told = there("tonight", "begin", f"{kind} C1")
        assert (told.status, "was not begun: tell that first, if it was" in told.err) == (1, True), kind


def test_the_time_off_counts_for_none_also_where_one_came_out_in_it(run: Any, off: str) -> None:
    """Two hours of warmth since 16:30; off at 18:30, R-014 out at 18:40, and on again at 18:50."""
    assert run("chamber", "--out", "R-014", "--at", "2026-12-01T18:40").status == 0
    assert run("chamber", "--go-on", "--at", "2026-12-01T18:50").status == 0
    assert "2 h of 4 h, out 18:40, too early" in run("chamber").out
    assert "had 2 h of 4 h of warmth only" in run("reels").out


def test_what_had_its_hours_lies_there_like_the_rest(there: Any, clock: Clock) -> None:
    """Warmed for five hours where four were due: treated, and nobody took it out."""
    assert there("load", "C1", "W-1", "W-2", "--because", "x").status == 0
    clock.at += timedelta(hours=5)
    assert there("chamber", "--broken-off", "power").status == 0
    says = "W-1 and W-2 lie in C1, off since Wed 2 Dec 17:00 (power): take them out and say so"
    assert says in there("tonight").out and says in there("closing").out
    assert there("chamber", "C1", "--empty-run", "54 C").status == 1
    assert there("chamber", "--go-on").status == 1
    assert there("set", "W-1", "base=acetate").status == 0
    assert "Take W-1 out of chamber C1" in alarms(there)["W-1"]
    clock.at += timedelta(minutes=20)
    assert there("chamber", "--out", "W-1", "W-2").status == 0
    cools = {one["reel"]: one["out"] for one in there("chamber", "--json").json["reels"]}
    assert set(cools.values()) == {"2026-12-02T17:00+00:00"}, "its warmth ended with the load's"
    clock.at += timedelta(hours=5)
    again = there("load", "C1", "W-2")
    assert (again.status, "W-2: it needs no warmth: it was warmed" in again.err) == (1, True)


def test_an_empty_run_is_switched_off_at_the_closing_look(there: Any, clock: Clock) -> None:
    assert there("chamber", "C1", "--empty-run", "54 C").status == 0
    clock.at += timedelta(hours=2)
    told = there("closing").out
    assert "C1: its empty run over, switched off and unplugged, door open" in told
    assert "C1 is warm, its empty run since 12:00: somebody stays till it is switched off" in told
    clock.at += timedelta(days=1)
    assert "its empty run" not in there("closing").out


def test_once_it_has_cooled_there_is_no_going_on(there: Any, clock: Clock) -> None:
    """Off for more than the hour in which a load is still warm."""
    assert there("load", "C1", "W-1", "W-2", "--because", "x").status == 0
    clock.at += timedelta(minutes=70)
    assert there("chamber", "--broken-off", "power").status == 0
    assert "on again by 14:10 their hours count" in there("tonight").out
    clock.at += timedelta(minutes=61)
    told = there("tonight").out
    assert "W-1 and W-2 lie in C1, off since" in told and "on again" not in told
    refused = there("tonight", "begin", "take out chamber C1")
    assert (refused.status, "was not begun" in refused.err) == (1, False)


def test_what_lies_there_is_neither_removed_nor_merged(run: Any, off: str) -> None:
    says = "it lies in C1, off since Tue 1 Dec 18:30: take it out and say so first"
    for words in (("remove", "R-014"), ("merge", "R-002", "R-003")):
        told = run(*words)
        assert (told.status, says in told.err) == (1, True), words


def test_the_row_that_takes_it_out_takes_it_out(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2", "--because", "x").status == 0
    clock.at += timedelta(minutes=70)
    assert there("chamber", "--broken-off", "power").status == 0
    assert there("set", "W-1", "base=acetate").status == 0
    rows = [line for line in there("tonight").out.splitlines() if "take out chamber C1: W-1" in line]
    assert rows
    number = rows[0].split()[0]
    assert there("tonight", "begin", number).status == 0
    assert "W-1" not in alarms(there)


def test_a_load_that_is_off_is_cancelled_in_the_calendar_and_struck_on_paper(
    there: Any, clock: Clock
) -> None:
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    before = touch_events(there("calendar").out)
    assert {state for state, _ in before.values()} == {"CONFIRMED"}
    clock.at += timedelta(minutes=70)
    assert there("chamber", "--broken-off", "power").status == 0
    off = touch_events(there("calendar").out)
    assert {uid: state for uid, (state, _) in off.items()} == dict.fromkeys(before, "CANCELLED")
    assert all(off[uid][1] > number for uid, (_, number) in before.items()), "else a phone keeps the old one"
    paper = printed(there, "orders")
    for touch in ("load", "turn", "take out"):
        assert f"not any more: {touch} C1 struck out, W-1, W-2, W-3: broken off Wed 2 Dec 13:10" in paper
    assert "Take out of C1" not in paper and "Turn chamber C1" not in paper
    assert "load chamber C1: W-1, W-2, W-3" in there("tonight").out, "it may begin once more at any moment"
    clock.at += timedelta(minutes=30)
    assert there("chamber", "--go-on").status == 0
    rung = [state for state, _ in touch_events(there("calendar").out).values()]
    assert rung.count("CONFIRMED") == 3
    assert "Take out of C1: W-1, W-2 and W-3" in printed(there, "orders")


def touch_events(text: str) -> dict[str, tuple[str, int]]:
    """By UID, the status and the sequence of what the calendar has of chamber C1."""
    events = icalendar.Calendar.from_ical(text).walk("VEVENT")
    mine = [one for one in events if "C1" in str(one["SUMMARY"])]
    return {str(one["UID"]): (str(one["STATUS"]), int(str(one["SEQUENCE"]))) for one in mine}


def test_two_take_outs_of_one_chamber_are_told_apart_by_their_tapes(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    assert there("set", "W-1", "base=acetate").status == 0
    told = there("tonight", "begin", "take")
    named = "one of take out chamber C1: W-1 and take out chamber C1: W-2, W-3?"
    assert (told.status, named in told.err) == (1, True)
    assert there("tonight", "begin", "take out chamber C1: W-1").status == 0
    assert "W-1" not in alarms(there)


def test_what_had_its_hours_is_offered_no_second_load_by_any_face(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    clock.at += timedelta(hours=4, minutes=6)
    assert there("chamber", "--broken-off", "power").status == 0
    for acts in ((), ("set", "W-1", "base=acetate"), ("chamber", "--out", "W-1", "W-2", "W-3")):
        assert not acts or there(*acts).status == 0
        rows = there("tonight").out
        loads = [line for line in rows.splitlines() if "load chamber C1" in line and "  done " not in line]
        assert all("x struck out, W-1, W-2, W-3: it had its hours" in line for line in loads) and loads
        assert "must not be done as planned" not in rows, "the transfers go as planned"
        assert "CONFIRMED" not in {state for uid, (state, _) in touch_events(there("calendar").out).items()
                                   if uid not in urgent(there("calendar").out)}  # fmt: skip
        assert "Load chamber C1" not in printed(there, "orders")


def urgent(text: str) -> set[str]:
    """The UIDs of what rings at once."""
    events = icalendar.Calendar.from_ical(text).walk("VEVENT")
    return {str(one["UID"]) for one in events if str(one["SUMMARY"]).startswith("NOW")}


def test_paper_and_calendar_say_until_when_a_tape_cools_longer(there: Any, clock: Clock) -> None:
    """W-1 was to cool from 16:00 to 20:00: five minutes off in the load, then six late at the take-out."""
    planned = printed(there, "orders")
    assert "Transfer W-1" in planned and "not before" not in planned
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    clock.at += timedelta(minutes=70)
    assert there("chamber", "--broken-off", "power").status == 0
    clock.at += timedelta(minutes=5)
    assert there("chamber", "--go-on").status == 0
    assert "not before 20:05, it cools" in printed(there, "orders")
    assert "Transfer W-1 (not before 20:05\\, it cools)" in "".join(there("calendar").out.split("\n "))
    clock.at += timedelta(hours=2, minutes=56)
    assert there("chamber", "--out", "W-1", "W-2", "W-3").status == 0
    assert "not before 20:11, it cools" in printed(there, "orders")


def test_the_word_on_a_box_keeps_its_alarm_when_the_load_breaks_off(run: Any, shelf: Path) -> None:
    words = ("load", "C1", "R-002", "R-014", "--at", "2026-12-01T18:40", "--because", "home till one")
    assert run(*words).status == 0
    assert run("set", "R-002", "box_label=Acetate", "base_seen=").status == 0
    assert "Take R-002 out of chamber C1" in run("tonight").out
    assert run("chamber", "--broken-off", "power", "--at", "2026-12-01T18:50").status == 0
    for verb in ("tonight", "chamber", "closing"):
        ran = run(verb)
        assert "Take R-002 out of chamber C1" in " ".join((ran.out + ran.err).split()), verb
    assert run("chamber", "--out", "R-002").status == 0
    assert "Take R-002 out" not in run("tonight").out
