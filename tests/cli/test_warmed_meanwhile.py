"""A tape that had its heat gets no more: warmed after the plan, or left in a chamber past its hours."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import NOW, Clock, printed

Run = Any


@pytest.fixture
def two(run: Run, demo: Path, tmp_path: Path) -> Run:
    """A shelf with two sticky quarter-inch reels that were looked at."""
    rows = [f"{key},1/4 in,2,15 ips,NAB,250 nWb/m,Ampex 456,polyester,yes,1200 ft,sticky,identified"
            for key in ("G1", "G2")]  # fmt: skip
    head = "reel,width,tracks,speed,eq,level,stock,base,base_seen,length,condition,stage"
    (tmp_path / "r.csv").write_text("\n".join([head, *rows]) + "\n")
    (tmp_path / "s.csv").write_text("song,title,album,needs\nS1,One,First,G1;G2\n")
    assert run("new", "--studio", str(demo / "studio.toml")).status == 0
    ran = run("import", "r.csv", "s.csv")
    assert ran.status == 0, ran.err
    return run


def loads(run: Run) -> list[tuple[str, ...]]:
    """The reels of each load of the kept plan."""
    document = run("plan", "--effort", "0.3", "--json").json
    return [tuple(sorted(m["reel"] for m in item["reels"])) for item in document["items"]
            if item["kind"] == "condition" and item["start"] >= "2026-12-01T19"]  # fmt: skip


def test_a_reel_warmed_after_the_plan_is_struck_out_of_its_load_everywhere(two: Run, tmp_path: Path) -> None:
    assert any("G1" in load for load in loads(two))
    because = ("--because", "warmed elsewhere", "--at", "2026-11-30T11:00")
    assert two("mark", "G1", "conditioned", *because).status == 0
    shown = two("plan", "--show").out
    assert "warmed since this plan was made" in shown
    rung = [
        line for line in two("calendar").out.splitlines() if line.startswith("SUMMARY:") and "oad" in line
    ]
    assert "STATUS:CANCELLED" in two("calendar").out or not any("G1" in line for line in rung)
    assert "plan again" in two("tonight").out


def test_a_reel_that_was_warmed_goes_in_again_for_a_reason_only(two: Run) -> None:
    because = ("--because", "warmed elsewhere", "--at", "2026-11-30T11:00")
    assert two("mark", "G1", "conditioned", *because).status == 0
    ran = two("load", "C1", "G1", "--at", "2026-12-01T18:50")
    assert ran.status == 1 and "it needs no warmth: it was warmed" in ran.err


def test_a_load_whose_hours_are_up_is_not_planned_into_heat_again(
    two: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert two("load", "C1", "G1", "--at", "2026-12-01T08:00", "--because", "a day off").status == 0
    monkeypatch.setattr("tui.commands.command.now", lambda: datetime(2026, 12, 1, 18, 52, tzinfo=UTC))
    assert all("G1" not in load for load in loads(two))


def test_what_comes_next_is_no_load_that_was_struck_out(two: Run, tmp_path: Path) -> None:
    assert any("G1" in load for load in loads(two))
    for key in ("G1", "G2"):
        assert two("set", key, "base=acetate").status == 0
    assert "load chamber" not in two("closing").out


def test_a_reel_inside_that_is_to_be_looked_at_first_raises_the_alarm(two: Run) -> None:
    assert two("load", "C1", "G1", "--at", "2026-12-01T18:50", "--because", "nobody is home").status == 0
    assert two("reels", "--json").json[0]["alarm"] is None
    assert two("set", "G1", "condition=").status == 0
    told = next(one for one in two("reels", "--json").json if one["reel"] == "G1")
    assert told["advice"] == "look first" and "out of chamber C1 now" in told["alarm"]


def test_a_load_that_was_told_by_command_does_not_begin_once_more(there: Any, clock: Clock) -> None:
    """Neither while its last reels are in there, nor when all of them are out."""
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    clock.at = NOW.replace(hour=16, minute=6)
    for key in ("W-1", "W-2", "W-3"):
        assert there("chamber", "--out", key).status == 0
        clock.at = clock.at.replace(minute=clock.at.minute + 1)
        kinds = {one["kind"] for one in there("tonight", "--json").json if one["state"] == "waiting"}
        assert "load" not in kinds and "transfer" in kinds
        assert "second treatment" not in printed(there, "orders")
    assert not kinds & {"turn", "take out"}


def test_a_treatment_that_is_behind_and_lapsed_is_not_one_to_come(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    clock.at = NOW.replace(hour=16, minute=6)
    assert there("chamber", "--out", "W-1").status == 0
    assert there("set", "W-1", "playable_until=2026-12-02T21:50").status == 0
    assert "warmed again" not in printed(there, "orders")
    assert "not playable" not in there("plan", "--show").err
    clock.at = NOW.replace(hour=21, minute=55)
    why = "not playable any more by then, and no load ahead warms it"
    assert f"W-1 must not be done as planned ({why}): plan again" in there("plan", "--show").err
    states = {(one["kind"], one["subject"]): one["state"] for one in there("tonight", "--json").json}
    assert states["transfer", "W-1"] == states["verify", "W-1"] == "struck"
    assert states["transfer", "W-2"] == "waiting"
    paper = printed(there, "orders")
    assert paper.count("Transfer W-1") == paper.count("not any more: Transfer W-1") == 1
    rung = there("calendar").out.replace("\r\n ", "")
    assert f"NOT: transfer W-1\\, struck out\\, W-1: {why.replace(',', chr(92) + ',')}" in rung
    assert "Transfer W-2" in rung and "Transfer W-1" not in rung


def test_a_tape_whose_load_was_never_made_is_struck_out_of_its_transfer_until_the_load_is_marked(
    two: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    items = two("plan", "--effort", "0.3", "--json").json["items"]
    transfer = next(one for one in items if one["kind"] == "transfer")
    key = transfer["reel"]
    load = next(one for one in items if one["kind"] == "condition" and key in str(one["reels"]))
    out = next(one["out"] for one in load["reels"] if one["reel"] == key)
    begins = datetime.fromisoformat(transfer["start"])
    assert printed(two, "orders").count("not any more: Transfer") == 0  # the load is still ahead
    monkeypatch.setattr("tui.commands.command.now", lambda: begins)
    why = "was not made: if it was, mark it first"
    assert f"not any more: Transfer {key}" in (paper := printed(two, "orders")) and why in paper
    struck = [one for one in two("tonight", "--json").json if one["kind"] == "transfer"]
    assert struck and all(one["state"] == "struck" for one in struck)
    assert two("load", "C1", key, "--at", load["start"], "--because", "by paper").status == 0
    assert two("mark", key, "conditioned", "--at", out).status == 0
    assert f"not any more: Transfer {key}" not in printed(two, "orders")


def test_a_tape_that_came_out_too_early_is_not_told_that_its_load_was_not_made(
    there: Any, clock: Clock
) -> None:
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    clock.at += timedelta(hours=2)
    assert there("chamber", "--out", "W-1", "--because", "needed elsewhere").status == 0
    clock.at = NOW.replace(hour=16, minute=20)
    assert there("chamber", "--out", "W-2", "W-3").status == 0
    clock.at = NOW.replace(hour=19)
    told = there("tonight").out
    assert "W-1: it had 2 h of 4 h of warmth only" in told and "was not made" not in told


@pytest.mark.parametrize("by", ["set", "import"])
def test_an_old_list_s_take_out_is_none_of_the_load_that_runs(
    there: Any, clock: Clock, tmp_path: Path, by: str
) -> None:
    """An hour of four at 54 °C, and a row that says: in no chamber, conditioned on the day before."""
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(hours=1)
    (tmp_path / "old.csv").write_text(
        "reel,chamber,loaded_at,stage,conditioned_at\nW-1,,,conditioned,2026-12-01T10:00+00:00\n"
    )
    row = ("chamber=", "loaded_at=", "stage=conditioned", "conditioned_at=2026-12-01T10:00")
    told = there("set", "W-1", *row) if by == "set" else there("import", "--update", "old.csv")
    assert told.status == 0 and "W-1: it had 1 h of 4 h of warmth only" in told.out + told.err
    assert "W-1: 1 h of 4 h, out 13:00, too early" in there("chamber").out
    assert there("tonight", "begin", "transfer W-1").status == 1
    assert there("mark", "W-1", "transferred").status == 1


def test_how_long_a_tape_cools_is_one_answer(there: Any, clock: Clock) -> None:
    """Warmed whole and cooled, then put back by a slip for ten minutes: cool as long as it was warm."""
    assert there("load", "C1", "W-1").status == 0
    clock.at += timedelta(hours=4)
    assert there("chamber", "--out", "W-1").status == 0
    clock.at += timedelta(hours=5)
    assert there("load", "C1", "W-1", "--because", "a slip").status == 0
    clock.at += timedelta(minutes=10)
    assert there("chamber", "--out", "W-1").status == 0
    assert "W-1: 10 min of 4 h, out 21:10, too early, cools until 21:20" in there("chamber").out
    assert "cools to 21:20" in there("reels").out
    order = printed(there, "orders")
    assert "cools until Wed 2 Dec 21:20" in order and "not before 21:20, it cools" in order
    assert there("tonight", "begin", "transfer W-1").status == 1
    clock.at += timedelta(minutes=10)
    assert "cools" not in there("reels").out


def test_an_old_list_s_take_out_is_none_of_a_load_that_was_left_early(there: Any, clock: Clock) -> None:
    """The same once the tape lies out, in whatever order it is told."""
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(hours=1)
    assert there("chamber", "--out", "W-1").status == 0
    assert there("set", "W-2", "chamber=", "loaded_at=").status == 0
    clock.at += timedelta(minutes=20)
    for key, stage in (("W-1", "conditioned"), ("W-2", "aligned")):
        told = there("set", key, f"stage={stage}", "conditioned_at=2026-12-01T10:00")
        says = f"{key}: the take-out of Tue 01 Dec 10:00 is from before its last load: it counts for nothing"
        assert says in told.out + told.err
        clock.at += timedelta(hours=5)
        assert there("mark", key, "transferred").status == 1
        assert there("tonight", "begin", f"transfer {key}").status == 1
        clock.at -= timedelta(hours=5)


@pytest.mark.parametrize("stage", ["conditioned", "aligned"])
def test_a_stage_told_as_the_chamber_is_emptied_early_is_no_treatment(
    there: Any, clock: Clock, stage: str
) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(minutes=25)
    told = there("set", "W-1", f"stage={stage}", "chamber=", "loaded_at=")
    assert told.status == 0 and "W-1: it had 25 min of 4 h of warmth only" in told.out + told.err
    assert "W-1: 25 min of 4 h, out 12:25, too early" in there("chamber").out
    clock.at += timedelta(hours=5)
    assert there("mark", "W-1", "transferred").status == 1
    assert there("tonight", "begin", "transfer W-1").status == 1
    assert there("set", "W-2", f"stage={stage}", "chamber=", "loaded_at=").status == 0
    clock.at += timedelta(hours=5)
    assert there("mark", "W-2", "transferred", "--because", "x").status == 0, "it had five hours of four"


def test_a_stage_told_once_the_tape_is_out_too_early_is_no_treatment_either(there: Any, clock: Clock) -> None:
    """Without a date, with the log's own take-out, or by an older spreadsheet; a later one counts."""
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(minutes=25)
    assert there("chamber", "--out", "W-1", "W-2").status == 0
    clock.at += timedelta(hours=5)
    says = "it had 25 min of 4 h of warmth only: it stays identified"
    for row in (("stage=conditioned",), ("stage=aligned", "conditioned_at=2026-12-02T12:25")):
        told = there("set", "W-1", *row)
        assert told.status == 0 and f"W-1: {says}" in told.out + told.err
        assert there("mark", "W-1", "transferred").status == 1
        assert there("tonight", "begin", "transfer W-1").status == 1
    Path("old.csv").write_text("reel,stage\nW-1,aligned\n")
    told = there("import", "--update", "old.csv")
    assert told.status == 0 and f"W-1: {says}" in told.out + told.err
    assert there("mark", "W-1", "transferred").status == 1
    assert there("set", "W-2", "stage=conditioned", "conditioned_at=2026-12-02T17:00").status == 0
    assert there("mark", "W-1", "conditioned", "--because", "warmed next door").status == 0


def test_a_load_told_by_its_columns_alone_is_remembered_once_they_are_emptied(
    there: Any, clock: Clock
) -> None:
    """A tape is in the heat by its row only: it leaves it with the hours it had, and cools."""
    at = clock.at.strftime("%Y-%m-%dT%H:%M")
    for key in ("W-1", "W-2"):
        assert there("set", key, "chamber=C1", f"loaded_at={at}").status == 0
    clock.at += timedelta(minutes=25)
    told = there("set", "W-1", "chamber=", "loaded_at=", "stage=conditioned")
    assert told.status == 0 and "W-1: it had 25 min of 4 h of warmth only" in told.out + told.err
    assert "W-1: 25 min of 4 h, out 12:25, too early" in there("chamber").out
    assert there("mark", "W-1", "transferred").status == 1
    clock.at += timedelta(hours=4)
    assert there("set", "W-2", "chamber=", "loaded_at=", "stage=conditioned").status == 0
    assert "cools to" in there("reels").out and there("mark", "W-2", "transferred").status == 1
    clock.at += timedelta(hours=5)
    assert there("mark", "W-2", "transferred").status == 0


def test_a_treated_tape_put_back_by_its_columns_cools_when_they_are_emptied(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1").status == 0
    clock.at += timedelta(hours=4)
    assert there("chamber", "--out", "W-1").status == 0
    clock.at += timedelta(hours=5)
    assert there("set", "W-1", "chamber=C1", f"loaded_at={clock.at:%Y-%m-%dT%H:%M}").status == 0
    clock.at += timedelta(minutes=30)
    assert there("set", "W-1", "chamber=", "loaded_at=").status == 0
    assert "cools to 22:00" in there("reels").out
    assert there("mark", "W-1", "transferred").status == 1


def test_one_tape_of_a_load_told_by_columns_is_not_told_another_start(there: Any, clock: Clock) -> None:
    at = clock.at.strftime("%Y-%m-%dT%H:%M")
    for key in ("W-1", "W-2"):
        assert there("set", key, "chamber=C1", f"loaded_at={at}").status == 0
    told = there("set", "W-2", f"loaded_at={clock.at - timedelta(minutes=10):%Y-%m-%dT%H:%M}")
    assert told.status == 1 and "a load runs in it with W-1, one at a time" in told.err
