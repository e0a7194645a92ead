"""Told afterwards: a load or an empty run at a time at which another load lay in that chamber."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
from alarmshelf import NOW, Clock, plays, printed
from doorshelf import STUDIO

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


def test_no_tape_is_told_into_a_load_that_runs_but_with_it(there: Any, tmp_path: Path) -> None:
    """Told by its columns it would be a load of its own beside the one that runs, which nobody turns."""
    assert there("load", "C1", "W-1", "W-2").status == 0
    beside = "W-3,identified,C1,2026-12-02T12:30+00:00"
    (tmp_path / "more.csv").write_text(f"reel,stage,chamber,loaded_at\n{beside}\n")
    says = "a load runs in it with W-1 and W-2, one at a time: in it since then too, its loaded_at is "
    for words in (
        ("set", "W-3", "chamber=C1", "loaded_at=2026-12-02T12:30"),
        ("import", "--update", "more.csv"),
        ("set", "W-2", "loaded_at=2026-12-02T11:30"),
    ):
        told = there(*words)
        assert told.status != 0 and "2026-12-02T12:00" in told.err, words
        assert words[1] == "W-2" or says in told.err, words
    assert there("set", "W-3", "chamber=C1", "loaded_at=2026-12-02T12:00").status == 0
    rows = there("tonight").out
    assert (
        rows.count("turn chamber C1: W-1, W-2, W-3") == rows.count("take out chamber C1: W-1, W-2, W-3") == 1
    )
    assert "runs" in there("chamber", "--list").out and "over" not in there("chamber", "--list").out


def test_no_tape_is_told_from_one_chamber_into_another(there: Any, tmp_path: Path) -> None:
    other = '[[chamber]]\nid = "C2"\ntrays = 6\ntrays_taken = { "1/4 in" = 1 }\nturn_every = "2 h"'
    (tmp_path / "studio.toml").write_text(f"{STUDIO}\n{other}\ntouch_minutes = 10\n")
    assert there("import", "--update", "studio.toml").status == 0
    assert there("load", "C1", "W-1", "W-2").status == 0
    told = there("set", "W-2", "chamber=C2", "loaded_at=2026-12-02T11:30")
    assert told.status != 0
    assert "it is in C1: take it out first, then say so (`chamber C1 --out W-2`)" in told.err


def test_nothing_comes_out_before_it_went_in(over: Any) -> None:
    assert over("load", "C1", "W-3", "--at", "2026-12-02T18:00").status == 0
    says = "W-3 went into C1 Wed 2 Dec 18:00: it was not touched there before"
    for words in (("--out", "W-3"), ("--turned", "--because", "x")):
        told = over("chamber", *words, "--at", "2026-12-02T17:00")
        assert (told.status, says in told.err) == (1, True), words
    assert over("chamber", "--out", "W-3", "--at", "2026-12-02T22:10").status == 0


def test_a_load_let_over_another_is_not_corrected_to_lie_over_it_still(over: Any) -> None:
    assert over("load", "C1", "W-3", "--at", "2026-12-02T13:00", "--because", "x").status == 0
    assert over("chamber", "--began", "2026-12-02T14:00").status == 1
    assert over("chamber", "--began", "2026-12-02T16:02").status == 0


def test_what_was_turned_minutes_ago_is_not_turned_again(there: Any, clock: Clock) -> None:
    """A turn every two hours: the one of 14:00, made at 15:40, stands for that of 16:00, which is nearer."""
    assert there("set", "W-1", "treatment_hours=8 h").status == 0
    assert there("load", "C1", "W-1").status == 0
    clock.at = NOW + timedelta(hours=3, minutes=40)
    assert there("chamber", "--turned").status == 0
    told = there("chamber").out
    assert "C1: turn W-1 at 18:00" in told and "16:00  done 15:40" in told
    rows = [row for row in there("tonight").out.splitlines() if "turn chamber C1: W-1" in row]
    assert [row.split()[1] for row in rows] == ["14:00", "18:00"]
    clock.at = NOW + timedelta(hours=4, minutes=50)
    assert "late: now" not in there("tonight").out


def test_a_turn_made_late_leaves_the_next_where_it_was_if_that_is_far_off(there: Any, clock: Clock) -> None:
    assert there("set", "W-1", "treatment_hours=8 h").status == 0
    assert there("load", "C1", "W-1").status == 0
    clock.at = NOW + timedelta(hours=2, minutes=50)
    assert there("chamber", "--turned").status == 0
    assert "C1: turn W-1 at 16:00" in there("chamber").out


def test_calendar_and_order_have_no_turn_behind_a_late_one(there: Any, clock: Clock) -> None:
    for key in ("W-1", "W-2", "W-3"):
        assert there("set", key, "treatment_hours=8 h").status == 0
    assert there("plan", "--days", "3", "--effort", "1").status == 0
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    before = turns_rung(there)
    assert list(before) == ["140000", "160000", "180000"]
    clock.at = NOW + timedelta(hours=3, minutes=40)
    assert there("chamber", "--turned").status == 0
    after = turns_rung(there)
    assert list(after) == ["140000", "180000"]
    assert after["180000"] == before["160000"] != before["180000"], "nothing changed places at 16:00"
    steps = printed(there, "orders")
    assert "18:00 18:10 Turn chamber C1" in steps and "16:00 16:10 Turn chamber C1" not in steps


def turns_rung(run: Any) -> dict[str, str]:
    """By time, the places of the turns that the calendar has, cancelled ones apart."""
    events = icalendar.Calendar.from_ical(run("calendar").out).walk("VEVENT")
    mine = (one for one in events if str(one["SUMMARY"]).startswith("Turn chamber C1"))
    return {one["DTSTART"].to_ical().decode()[9:15]: places(str(one["DESCRIPTION"])) for one in mine}


def places(text: str) -> str:
    """The lines of a touch that tell its places."""
    return "; ".join(line for line in text.splitlines() if " place " in line)


def test_no_tape_is_told_by_its_columns_into_a_chamber_while_another_lay_there(over: Any) -> None:
    told = over("set", "W-3", "chamber=C1", "loaded_at=2026-12-02T13:00")
    assert told.status != 0 and f"{HELD}: it was not in it then" in told.err
    assert over("set", "W-3", "chamber=C1", "loaded_at=2026-12-02T17:00").status == 0


def test_a_tape_that_runs_goes_into_no_chamber_by_its_columns(there: Any, clock: Clock) -> None:
    plays(there, clock)
    told = there("set", "P-1", "chamber=C1", "loaded_at=2026-12-02T12:03")
    assert told.status != 0 and "it runs on D1: end that first" in told.err


@pytest.fixture
def two_chambers(over: Any, tmp_path: Path) -> Any:
    other = '[[chamber]]\nid = "C2"\ntrays = 6\ntrays_taken = { "1/4 in" = 1 }\nturn_every = "2 h"'
    (tmp_path / "studio.toml").write_text(f"{STUDIO}\n{other}\ntouch_minutes = 10\n")
    assert over("import", "--update", "studio.toml").status == 0
    return over


def test_no_tape_is_told_by_its_columns_into_two_chambers_at_one_time(
    two_chambers: Any, tmp_path: Path
) -> None:
    says = "it lay in C1 from Wed 2 Dec 12:00 to 16:02"
    (tmp_path / "more.csv").write_text("reel,chamber,loaded_at\nW-1,C2,2026-12-02T15:00+00:00\n")
    for words in (
        ("set", "W-1", "chamber=C2", "loaded_at=2026-12-02T15:00"),
        ("set", "W-1", "chamber=C2", "loaded_at=2026-12-02T11:00"),
        ("import", "--update", "more.csv"),
    ):
        told = two_chambers(*words)
        assert told.status != 0 and says in told.err, words
    assert two_chambers("set", "W-1", "chamber=C2", "loaded_at=2026-12-02T20:30").status == 0
    assert two_chambers("set", "W-1", "loaded_at=2026-12-02T15:30").status != 0


def test_no_tape_is_loaded_or_its_load_moved_to_where_it_lay_in_another_chamber(
    two_chambers: Any, clock: Clock
) -> None:
    """It came out after 20 min of 4 h, which is no treatment: it may be warmed again at once."""
    assert two_chambers("load", "C1", "W-3", "--at", "2026-12-02T19:00").status == 0
    assert two_chambers("chamber", "--out", "W-3", "--at", "2026-12-02T19:20").status == 0
    words = ("load", "C2", "W-3", "--because", "x", "--at")
    refused = two_chambers(*words, "2026-12-02T19:10")
    assert (refused.status, "it lay in C1 from Wed 2 Dec 19:00 to 19:20" in refused.err) == (1, True)
    assert two_chambers(*words, "2026-12-02T21:00").status == 0
    moved = two_chambers("chamber", "C2", "--began", "2026-12-02T19:15")
    assert (moved.status, "it lay in C1 from Wed 2 Dec 19:00 to 19:20" in moved.err) == (1, True)
