"""Told afterwards: a load or an empty run at a time at which another load lay in that chamber."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import NOW, Clock, printed
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
