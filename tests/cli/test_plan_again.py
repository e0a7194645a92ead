"""Planned again: the same where nothing changed, never worse than what is kept, what moves told as values."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
WEEK = ("--days", "7")


@pytest.fixture
def planned(once: Run) -> dict[str, Any]:
    """A plan of the demo's shelf that is kept."""
    told = once(("plan", "--from", "2026-12-01T19:00", "--effort", "0.5", "--json"))
    assert told.status == 0, told.err
    document: dict[str, Any] = json.loads(told.out)
    return document


def again(run: Run, *how: str) -> dict[str, Any]:
    told = run("plan", "--from", "2026-12-01T19:00", *how, "--json")
    assert told.status == 0, told.err
    document: dict[str, Any] = json.loads(told.out)
    return document


def test_where_nothing_changed_the_plan_is_the_same_to_the_byte(run: Run, planned: dict[str, Any]) -> None:
    assert again(run, "--effort", "0.5") == planned


def test_a_longer_search_starts_there_and_is_never_worse(run: Run, planned: dict[str, Any]) -> None:
    longer = again(run, "--effort", "1.5")
    assert longer["score"] <= planned["score"]
    assert longer["searched"] > planned["searched"]


def test_what_is_found_out_is_planned_and_its_moves_are_told(run: Run, planned: dict[str, Any]) -> None:
    transfers = [item for item in planned["items"] if item["kind"] == "transfer"]
    later = next(
        item["reel"] for item in transfers if item["start"] > "2026-12-03" and not item.get("assumes")
    )
    assert run("set", later, "condition=mould").status == 0
    new = again(run, "--effort", "0.5")
    gone = [move for move in new["moves"] if move["reel"] == later]
    assert gone and all(move["now"] is None for move in gone)
    assert {"kind", "reel", "was", "now", "why"} == set(gone[0])
    assert any("mould" in move["why"] for move in gone)
    assert all(item.get("reel") != later for item in new["items"])


def test_another_slack_is_another_plan(run: Run, planned: dict[str, Any]) -> None:
    other = again(run, "--effort", "0.5", "--slack", "30%")
    assert other["slack"] == 0.3
    assert other["items"] != planned["items"]


def test_hours_that_are_added_are_used_and_every_move_says_why(
    run: Run, made_up: Path, planned: dict[str, Any], tmp_path: Path
) -> None:
    sunday = ("2026-12-06", "10:00-20:00", "bench", "home", "helper")
    assert run("hours", *sunday).status == 0
    calm = again(run, "--effort", "1")
    shutil.copytree(made_up, tmp_path / "afresh")
    other = ("--shelf", str(tmp_path / "afresh" / "tapes.json"))
    assert run(*other, "hours", *sunday).status == 0
    told = run(*other, "plan", "--from", "2026-12-01T19:00", "--effort", "1", "--json")
    afresh = json.loads(told.out)
    assert not afresh.get("moves")
    assert calm["score"] < 0.9 * planned["score"], "such a Sunday is worth more than a tenth"
    assert calm["score"] <= 1.1 * afresh["score"], "calm costs a tenth at most"
    assert any(item["start"].startswith("2026-12-06") for item in calm["items"])
    assert calm["moves"] and all(move["why"] for move in calm["moves"])


def test_a_step_whose_time_went_by_undone_moves_from_there(run: Run, planned: dict[str, Any]) -> None:
    first = next(item for item in planned["items"] if item["kind"] in ("identify", "transfer", "audition"))
    assert first["start"].startswith("2026-12-01T19:"), "the evening begins with it"
    told = run("plan", "--from", "2026-12-01T20:00", "--effort", "0.3", "--json")
    moved = [one for one in json.loads(told.out)["moves"] if one["reel"] == first["reel"]]
    step = next(one for one in moved if one["kind"] == first["kind"])
    assert (step["was"], step["why"]) == (first["start"], "late, and others come first that evening")
    assert not step["now"].startswith("2026-12-01")


def test_what_was_proven_before_noon_still_binds_after_it(run: Run, shelf: Path) -> None:
    """Nothing was done meanwhile: the bound is carried on, less what the hours themselves change of it."""
    first = run("plan", "--from", "2026-12-01T12:00", *WEEK, "--effort", "2", "--json").json
    assert first["gap"] < 0.01
    for start in ("2026-12-01T12:10", "2026-12-01T14:00"):
        again = run("plan", "--from", start, *WEEK, "--effort", "0.1", "--json").json
        assert again["bound"] <= again["score"]
        assert again["gap"] <= first["gap"] + 0.01, start
    assert run("set", "R-001", "splices=3").status == 0
    other = run("plan", "--from", "2026-12-01T14:10", *WEEK, "--effort", "0.05", "--json").json
    assert other["gap"] > first["gap"] + 0.02, "of another shelf nothing was proven"


def test_a_plan_that_begins_on_an_evening_that_is_over_says_so(run: Run, planned: dict[str, Any]) -> None:
    over = run("plan", "--from", "2026-11-20T19:00", "--days", "3", "--seconds", "0")
    assert over.status == 0 and "begins on Fri 20 Nov 2026, which is over" in over.err
    assert "which is over" not in run("plan", "--seconds", "0", *WEEK).err
