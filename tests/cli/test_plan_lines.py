"""What `plan` says: at most ten lines; all of it behind `--all`, and behind `--show` without planning."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

QUICK = ("--days", "14", "--effort", "0.5")


@pytest.fixture
def said(once: Any) -> list[str]:
    """The lines of the first plan."""
    return once(("plan", *QUICK)).out.splitlines()


def test_a_plan_is_told_in_ten_lines(said: list[str]) -> None:
    assert len(said) <= 10
    assert said[0].startswith("plan 1, Tue 1 Dec to Tue 15 Dec: ")
    assert "above the best" in said[0] or "the best there can be" in said[0]
    assert sum(": planned " in line and " in 100" in line for line in said) >= 3
    assert any(line.startswith("tonight 19:") for line in said)
    assert not any(line.startswith("moved") for line in said)
    assert said[-1].endswith("reelturn plan --show tells all of it")


def test_a_plan_that_may_be_far_above_the_best_says_how_to_search_on(
    said: list[str], run: Any, demo: Path
) -> None:
    assert run("plan", "--show", "--json").json["gap"] <= 0.1 and "longer may be better" not in said[0]
    Path("tapes.json").unlink()
    assert run("new", "--studio", str(demo / "studio.toml")).status == 0
    assert run("import", *(str(file) for file in sorted(demo.glob("*.csv")))).status == 0
    far = run("plan", "--days", "21", "--seconds", "0").out.splitlines()
    assert run("plan", "--show", "--json").json["gap"] > 0.1
    (first,) = (one for one in far if one.startswith("plan 1, "))
    assert first.endswith("; longer may be better: reelturn plan --days 21 --seconds 30")


def test_songs_are_told_soonest_first_in_the_words_of_songs(said: list[str], run: Any) -> None:
    told = [line for line in said if ": planned " in line]
    by_songs = run("songs").out
    assert all(line.split(": ")[1] in by_songs for line in told)
    songs = {one["title"]: one["planned"] for one in run("songs", "--json").json}
    planned = [songs[line.split(": planned")[0]] for line in told]
    assert planned == sorted(planned)


def test_what_moved_is_told_with_how_many_more(said: list[str], run: Any) -> None:
    played = [one for one in run("plan", "--show", "--json").json["items"] if one["kind"] == "transfer"]
    assert run("wish", f"{played[0]['reel']} not on {played[0]['start'][:10]}").status == 0
    lines = run("plan", *QUICK).out.splitlines()
    assert len(lines) <= 10
    moved = [line for line in lines if line.startswith("moved: ")]
    assert len(moved) in (1, 2)
    changed = run("plan", "--show", "--json").json["moves"]
    assert len(changed) <= 2 or any(line.endswith(" more") for line in lines)


def test_on_which_days_the_helper_is_not_needed_is_said(said: list[str], run: Any) -> None:
    plan = run("plan", "--show", "--json").json
    aligns = [item for item in plan["items"] if item["kind"] == "align" and item["full"]]
    full = {item["start"][:10] for item in aligns if item["deck"] == "D1"}  # D2 is lined up alone
    line = next((line for line in said if line.startswith("the helper is not needed on ")), "")
    assert line.endswith(": tell them")
    days = {f"2026-12-{int(word):02}" for word in line.replace(",", " ").split() if word.isdigit()}
    assert days and not days & full


def test_all_of_it_is_behind_an_option(shelf: Path, run: Any) -> None:
    whole = run("plan", *QUICK, "--all").out
    assert len(whole.splitlines()) > 20
    assert " songs" in whole and " score " in whole
    before = (shelf).read_bytes()
    shown = run("plan", "--show")
    assert shown.status == 0 and shown.out == whole
    assert shelf.read_bytes() == before


def test_showing_needs_a_kept_plan(shelf: Path, run: Any) -> None:
    ran = run("plan", "--show")
    assert ran.status == 1 and "no plan is kept" in ran.err
