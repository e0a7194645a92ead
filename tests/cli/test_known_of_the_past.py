"""What was known before stands behind what is done next: mould in a chamber, warmth that nobody gave."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
from alarmshelf import NOW, ROW, STEP, Clock, printed
from doorshelf import put

WIPE = "C1 held W-1, which has mould: wipe and air it, with gloves and a mask, before anything else goes in"


def held_mould(run: Any) -> None:
    """W-1 and W-2 lay in C1 for a minute, and W-1 has mould."""
    assert run("load", "C1", "W-1", "W-2").status == 0
    assert run("set", "W-1", "condition=mould").status == 0
    assert run("chamber", "--out", "W-1", "W-2").status == 0


def test_no_fan_runs_through_mould_that_nobody_wiped(there: Any) -> None:
    held_mould(there)
    told = there("chamber", "C1", "--empty-run", "54 C")
    assert (told.status, WIPE in told.err, "its fan stays off till then" in told.err) == (1, True, True)
    assert there("tonight", "wiped", "C1").status == 0
    assert there("chamber", "C1", "--empty-run", "54 C").status == 0


def test_a_planned_load_says_what_its_chamber_held(there: Any) -> None:
    assert there("load", "C1", "W-1", "W-2").status == there("chamber", "--out", "W-1", "W-2").status == 0
    assert there("plan", "--days", "2", "--effort", "0.2").status == 0
    assert there("set", "W-1", "condition=mould").status == 0  # found after the plan was made
    row = there("tonight").out.partition("load chamber C1")[2]
    assert f"! {WIPE}" in row and "! W-2 was beside W-1" in row
    events = icalendar.Calendar.from_ical(there("calendar").out).walk("VEVENT")
    (load,) = [one for one in events if str(one["SUMMARY"]).startswith("Load chamber C1")]
    assert WIPE in str(load["DESCRIPTION"]) and "W-2 was beside W-1" in str(load["DESCRIPTION"])
    assert printed(there, "orders").count(WIPE) >= 1
    assert there("tonight", "wiped", "C1").status == 0
    assert WIPE not in there("tonight").out


@pytest.mark.parametrize("how", ["--whole", "--clean"])
def test_a_captured_tape_is_sent_back_to_what_is_known_of_it(there: Any, how: str) -> None:
    """Told by an old list as transferred, no take-out and no load here: nothing says that it was warmed."""
    rows = [
        ROW | {"reel": "Y-1", "base": "acetate", "base_seen": "acetate", "condition": "sticky"},
        ROW | {"reel": "V-1", "stock": "Ampex 456", "condition": ""},
        ROW | {"reel": "W-9", "stock": "Ampex 456", "condition": "sticky"},
        ROW | {"reel": "P-9"},
        ROW | {"reel": "T-9", "condition": "sticky", "conditioned_at": "2026-12-01T10:00"},
    ]  # fmt: skip
    assert put(there, [{"conditioned_at": "", **row, "stage": "transferred"} for row in rows]).status == 0
    for key in ("Y-1", "V-1", "W-9", "P-9", "T-9"):
        assert there("again", key, how, "--because", "shed").status == 0, key
    told = {one["reel"]: (one["stage"], one["advice"]) for one in there("reels", "--json").json}
    assert told["Y-1"] == ("identified", "never") and told["V-1"] == ("identified", "look first")
    assert told["W-9"] == ("identified", "warm")
    assert told["P-9"][0] == told["T-9"][0] == "conditioned"  # sound; and warmed by its take-out


def test_hours_that_leave_a_warm_chamber_alone_say_so(there: Any) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    told = there("hours", "2026-12-02", "off")
    assert told.status == 0
    assert "C1 is warm with W-1 and W-2: by the hours nobody is home Wed 12:00 to Wed 16:10" in told.err
    assert "C1 is warm" not in there("hours", "2026-12-02", "usual").err
    assert "C1 is warm" not in there("hours", "2026-12-05", "off").err


def test_a_studio_file_that_takes_hours_away_says_which_and_what_lies_in_the_heat(there: Any) -> None:
    assert there("export", "kept").status == 0
    assert there("hours", "2026-12-02", "09:00-21:00", "bench", "home").status == 0
    assert there("hours", "2026-12-10", "off").status == 0
    assert there("load", "C1", "W-1", "W-2").status == 0
    plain = Path("kept/studio.toml").read_text("utf-8")
    Path("kept/studio.toml").write_text(plain.replace("home = true", "home = false"), "utf-8")
    for look in (["--look"], []):
        told = there("import", "--update", "kept/studio.toml", *look)
        gone = "the hours told for 2 dates go: Wed 2 Dec 09:00-21:00 bench home, Thu 10 Dec off"
        assert told.status == 0 and gone in told.err, told.err
        assert "C1 is warm with W-1 and W-2: by the hours nobody is home" in told.err
        assert "every Sat: no" in told.err and "home" in told.err


def test_a_backup_that_knows_nothing_of_a_load_says_what_lies_in_the_heat(there: Any, clock: Clock) -> None:
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    Path("before.json").write_bytes(Path("tapes.json").read_bytes())
    assert there("load", "C1", "W-1", "W-2").status == 0
    assert there("tonight", "begin", "transfer P-1").status == 0
    told = there("restore", "before.json")
    assert told.status == 0
    assert "! W-1 and W-2 went into C1 2026-12-02T12:00, and this shelf knows nothing of it" in told.err
    assert "`load C1 W-1 W-2 --at 2026-12-02T12:00`" in told.err
    assert "! P-1 ran on D1, and this shelf knows nothing of it" in told.err
    assert "knows nothing" not in there("restore", "before.json").err


def test_a_beginning_that_is_taken_back_says_what_lies_in_the_heat_or_runs(there: Any, clock: Clock) -> None:
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    assert there("load", "C1", "W-1", "W-2").status == 0
    told = there("undo")
    assert "! if W-1 and W-2 lie in C1, take them out, or `redo` tells it again" in told.err
    assert there("redo").status == 0 and "take them out" not in there("reels").err
    assert there("rename", "W-1", "W-9").status == 0
    assert "take it out" not in there("undo").err  # it is there under its old key
    assert there("tonight", "begin", "transfer P-1").status == 0
    assert "! if P-1 runs on D1, stop it, or `redo` tells it again" in there("undo").err
    assert there("note", "P-1", "blue box").status == 0
    assert "tells it again" not in there("undo").err


def test_a_pass_that_ends_behind_its_playable_time_is_told_as_it_begins(there: Any, clock: Clock) -> None:
    items = there("plan", "--show", "--json").json["items"]
    (end,) = [one["end"] for one in items if one["kind"] == "transfer" and one["reel"] == "P-1"]
    until = datetime.fromisoformat(end)
    taken_out = f"{until - timedelta(days=14):%Y-%m-%dT%H:%M}"
    words = ("condition=sticky", "stage=conditioned", f"conditioned_at={taken_out}")
    assert there("set", "P-1", *words).status == 0
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    clock.at = until - timedelta(minutes=10)
    told = there("tonight", "begin", "transfer P-1")
    ends = f"{clock.at + timedelta(minutes=16):%H:%M}"
    says = f"it may be played until {until:%a %H:%M} only, its pass ends {ends}: the rest would wait"
    assert told.status == 0 and f"P-1: {says}" in told.err


def test_acetate_that_lay_in_the_heat_can_be_told_afterwards_and_is_said_wherever_it_plays(
    there: Any, clock: Clock
) -> None:
    assert there("set", "P-1", "base=acetate", "base_seen=acetate").status == 0
    clock.at = NOW.replace(hour=13)
    refused = there("load", "C1", "P-1", "W-1", "--at", "2026-12-02T12:10", "--because", "it was so")
    lay = "(if it lay there: `reelturn tonight lay P-1 C1 --at TIME`)"
    assert refused.status == 1 and lay in refused.err
    says = "is acetate and was warmed: never again; look closely before it plays"
    told = there("tonight", "lay", "P-1", "C1", "--at", "2026-12-02T12:10")
    assert told.status == 0 and f"P-1 {says}" in told.err
    assert says in there("reels").out + there("reels", "--json").out
    assert "acetate and was warmed" in printed(there, "print", "cards")
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    told = there("tonight", "begin", "transfer P-1")
    assert told.status == 1 and "acetate and was warmed" in told.err, told.err
