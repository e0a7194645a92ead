"""A plan is made from one state of the shelf, and kept only where the shelf of that moment allows it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from core.planning import plan_evenings as planner
from core.standing.of_plan.made_from import REEL, made_from, sum_of
from core.workbook.workbook import Workbook

Run = Callable[..., Any]
HEAD = (
    "reel,width,tracks,speed,eq,level,stock,base,length,condition,stage,"
    "signs,back_coat,year,storage,base_seen"
)
ROWS = f"""{HEAD}
Q-1,1/4 in,2,15 ips,NAB,250 nWb/m,Ampex 456,polyester,2500 ft,sticky,identified,,,,,
Q-2,1/4 in,2,15 ips,NAB,250 nWb/m,,polyester,2500 ft,ok,identified,,,,,
Q-3,1/4 in,2,15 ips,NAB,250 nWb/m,,polyester,2500 ft,ok,identified,,,,,
"""


@pytest.fixture
def small(run: Run, demo: Path, tmp_path: Path) -> Path:
    """Three quarter-inch reels in the demo's studio; Q-1 is sticky."""
    studio = (demo / "studio.toml").read_text().replace("calibration_needed = true\n", "")
    (tmp_path / "s.toml").write_text(studio.replace("[[deck]]\n", "[[deck]]\ncalibration_needed = false\n"))
    assert run("new", "--studio", "s.toml").status == 0
    (tmp_path / "q.csv").write_text(ROWS)
    assert run("import", "q.csv").status == 0
    return tmp_path / "tapes.json"


@pytest.fixture
def meanwhile(monkeypatch: pytest.MonkeyPatch) -> Callable[[Callable[[], Any]], None]:
    """``meanwhile(act)``: while the next search runs another program does that to the shelf."""

    def during(act: Callable[[], Any]) -> None:
        search = planner.plan_evenings

        def searched(*given: Any, **more: Any) -> Any:
            found = search(*given, **more)
            act()
            return found

        monkeypatch.setattr(planner, "plan_evenings", searched)

    return during


def other(shelf: Path) -> Workbook:
    """Another program on the same shelf."""
    from tui.commands import command

    return Workbook.open(shelf, lambda: command.now())


def update(shelf: Path, row: str) -> Callable[[], Any]:
    """An import that brings one reel up to date."""

    def act() -> None:
        path = shelf.with_name("update.csv")
        path.write_text(f"{HEAD}\n{row}\n")
        other(shelf).import_files([path], update=True)

    return act


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("Q-1,,,,,,,acetate,,,,,,,,", "Q-1 must not be done as planned (acetate must never"),
        ("Q-1,,,,,,,,,sticky;mould,,,,,,", "Q-1 must not be done as planned (mould"),
        ("Q-1,,,,,,,,,,,vinegar,,,,", "Q-1 must not be done as planned ("),
        ("Q-2,,,,,,,,,sticky,,,,,,", "Q-2"),
        ("Q-2,,,,,,,,5000 ft,,,,,,,", "Q-2"),
    ],
)
def test_a_plan_is_not_kept_where_a_tape_was_found_otherwise_during_the_search(
    run: Run, small: Path, meanwhile: Any, row: str, says: str
) -> None:
    meanwhile(update(small, row))
    told = run("plan", "--seconds", "0")
    assert told.status == 1 and says in told.err and "the plan was not kept" in told.err
    assert len(told.err.splitlines()) == 1
    assert other(small).plans.kept_plan() is None


def test_a_load_that_began_during_the_search_is_in_the_way_of_its_plan(
    run: Run, small: Path, meanwhile: Any
) -> None:
    meanwhile(lambda: other(small).load("C1", ["Q-1"], because="warm already"))
    told = run("plan", "--seconds", "0")
    assert told.status == 1 and "Q-1 went into chamber C1: plan again" in told.err
    assert other(small).plans.kept_plan() is None


def test_an_undo_during_the_search_is_a_refusal_and_no_fault(
    run: Run, small: Path, tmp_path: Path, meanwhile: Any
) -> None:
    (tmp_path / "more.csv").write_text(
        f"{HEAD}\nQ-9,1/4 in,2,15 ips,,,,polyester,2500 ft,ok,identified,,,,,\n"
    )
    assert run("import", "more.csv").status == 0
    meanwhile(lambda: other(small).undo())
    told = run("plan", "--seconds", "0")
    assert told.status == 1 and "Q-9 is not on the shelf any more: plan again" in told.err


def test_what_does_not_touch_the_plan_lets_it_be_kept(run: Run, small: Path, meanwhile: Any) -> None:
    meanwhile(lambda: other(small).note("Q-1", "its box smells of smoke"))
    assert run("plan", "--seconds", "0").status == 0
    assert other(small).plans.plan_is_stale() is None


def test_a_plan_tells_of_the_state_it_was_made_from(run: Run, small: Path, meanwhile: Any) -> None:
    """A wider rule than before: what changed during the search makes the plan old at once."""
    meanwhile(update(small, "Q-1,,,,,,,,,,,,,1975,,"))
    told = run("plan", "--seconds", "0")
    stale = other(small).plans.plan_is_stale()
    assert told.status == 1 or (stale is not None and "Q-1 is not as it was" in stale)


CHANGED = {
    "role": "mix", "width": "1/2 in", "tracks": "4", "stock": "Agfa PEM 468", "base": "acetate",
    "thickness": "1 mil", "reel_size": "10.5 in", "length": "2400 ft", "pack_diameter": "9 in",
    "hub_diameter": "4.5 in", "treatment_hours": "9 h", "set_aside": "lent out", "signs": "loose oxide",
    "back_coat": "yes", "year": "1978", "storage": "damp", "base_seen": "polyester", "tried": "clean",
    "tones": "1 kHz and 10 kHz at the head",
}  # fmt: skip


@pytest.mark.parametrize("column", REEL)
def test_every_column_that_a_decision_reads_makes_a_plan_old(run: Run, small: Path, column: str) -> None:
    assert run("plan", "--seconds", "0").status == 0
    assert other(small).plans.plan_is_stale() is None
    beside = ",condition\n" if column == "signs" else "\n"  # what shows a sign is not ok
    row = f"Q-3,{CHANGED[column]}" + (",splices\n" if column == "signs" else "\n")
    small.with_name("u.csv").write_text(f"reel,{column}{beside}{row}")
    done = run("import", "u.csv", "--update")
    assert done.status == 0, done.err
    stale = other(small).plans.plan_is_stale()
    assert stale is not None and "Q-3" in stale
    assert stale in run("songs").err


def test_the_sums_are_those_of_other_versions_of_the_program(run: Run, small: Path) -> None:
    """Computed once, by the first version that sums by names; a change here makes every kept plan old."""
    told = made_from(other(small).shelf)
    assert told["reels"]["Q-1"] == ["8d9cf643", "identified", 0, "sticky", "a3a6bf43"]
    assert sum_of({"a": None, "b": "", "c": 1}) == sum_of({"c": 1})
