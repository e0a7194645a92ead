"""A plan made while a reel is in the heat that must not be there has it out at once, and says so."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from doorshelf import STUDIO, put
from icalendar import Calendar
from reeljudge import judge

AT = "2026-12-01T10:00"
FROM = "2026-12-01T11:00+00:00"
GOOD = {
    "base": "polyester", "condition": "sticky", "stock": "Ampex 456", "width": "1/4 in", "tracks": "2",
    "speed": "15 ips", "eq": "NAB", "level": "250 nWb/m", "length": "1200 ft", "stage": "identified",
}  # fmt: skip


@pytest.fixture
def shelf(run: Any, tmp_path: Path) -> Path:
    """An empty shelf of that studio."""
    (tmp_path / "studio.toml").write_text(STUDIO)
    assert run("new", "--studio", "studio.toml").status == 0
    return tmp_path


def planned(run: Any, tmp_path: Path, **found: str) -> dict[str, Any]:
    """Two reels in one load for an hour, something found out about the first, then a plan, kept."""
    put(run, [GOOD | {"reel": "R-1"}, GOOD | {"reel": "R-2"}])
    assert run("load", "C1", "R-1", "R-2", "--at", AT).status == 0
    if found:
        Path("u.csv").write_text(f"reel,{','.join(found)}\nR-1,{','.join(found.values())}\n")
        assert run("import", "u.csv", "--update").status == 0
    made = run("plan", "--from", FROM, "--effort", "0.2", "--json")
    assert made.status == 0, made.err
    assert run("export", "out").status == 0
    assert judge(tmp_path / "out", made.json) == []
    return made.json  # type: ignore[no-any-return]


def running(plan: dict[str, Any]) -> dict[str, Any]:
    return next(item for item in plan["items"] if item["kind"] == "condition" and item["start"] < FROM)


@pytest.mark.parametrize(
    ("column", "text", "says"),
    [
        ("base", "acetate", "sticky on acetate, which must never be warmed"), ("signs", "vinegar", "vinegar"),
        ("condition", "sticky;mould", "mould"), ("set_aside", "lent out", "lent out"),
        ("stock", "Ampex 456 Grand Master", "written like"),
    ],
)  # fmt: skip
def test_it_comes_out_as_the_plan_begins_and_nothing_more_is_planned_for_it(
    run: Any, shelf: Path, column: str, text: str, says: str
) -> None:
    plan = planned(run, shelf, **{column: text})
    load = running(plan)
    outs = {one["reel"]: one for one in load["reels"]}
    assert outs["R-1"]["out"] == "2026-12-01T11:00+00:00"
    assert outs["R-2"]["out"] == "2026-12-01T14:00+00:00"
    assert ("take out", "2026-12-01T11:00+00:00") in {(one["do"], one["start"]) for one in load["touches"]}
    assert [item["kind"] for item in plan["items"] if item.get("reel") == "R-1"] == []
    plays = any(item.get("reel") == "R-2" and item["kind"] == "transfer" for item in plan["items"])
    assert plays == (says != "mould"), "what lay beside mould is looked at once it is out, and planned then"
    left = {one["reel"]: one["why"] for one in plan["left_over"]}
    assert ("R-2" in left) == (says == "mould")
    assert left["R-1"].startswith("to come out of chamber C1 at once: ") and says in left["R-1"]
    assert run("plan", "--from", FROM, "--effort", "0.2").out.startswith("! Take R-1 out of chamber C1 now")
    assert "plan again" not in run("orders").err
    events = Calendar.from_ical(run("calendar").out).walk("VEVENT")
    about = [
        str(one["SUMMARY"]) for one in events if "R-1" in one["SUMMARY"] and one["STATUS"] != "CANCELLED"
    ]
    assert about and not any("ransfer" in one for one in about)


def test_at_the_hard_stop_all_of_the_load_comes_out(run: Any, shelf: Path) -> None:
    """60 °C: common practice; harm is reported above 70 °C (ARSC list, May 2004)."""
    put(run, [GOOD | {"reel": "R-1"}, GOOD | {"reel": "R-2"}])
    assert run("load", "C1", "R-1", "R-2", "--at", AT).status == 0
    assert run("chamber", "--read", "61 °C top", "--at", "2026-12-01T10:50").status == 0
    plan = run("plan", "--from", FROM, "--effort", "0.2", "--json").json
    assert {one["out"] for one in running(plan)["reels"]} == {"2026-12-01T11:00+00:00"}
    assert {one["reel"] for one in plan["left_over"]} == {"R-1", "R-2"}
    assert [item["kind"] for item in plan["items"]] == ["condition"]


def test_a_load_that_may_stay_stays_for_its_hours(run: Any, shelf: Path) -> None:
    plan = planned(run, shelf)
    assert {one["out"] for one in running(plan)["reels"]} == {"2026-12-01T14:00+00:00"}
    assert plan["left_over"] == []


@pytest.mark.parametrize("at", ["2026-12-01T14:15", "2026-12-01T18:30"])
def test_an_overdue_take_out_keeps_nobody_from_planning(
    run: Any, shelf: Path, tmp_path: Path, at: str
) -> None:
    sound = GOOD | {"reel": "R-2", "condition": "ok", "stock": "Harbour 7"}
    put(run, [GOOD | {"reel": "R-1"}, sound])
    assert run("load", "C1", "R-1", "--at", AT).status == 0
    plan = run("plan", "--from", at, "--effort", "0.2", "--json").json
    assert run("export", "out").status == 0
    wrong = judge(tmp_path / "out", plan)
    assert not wrong, "\n".join(wrong)
    assert [(one["reel"], "take it out now, then plan again" in one["why"]) for one in plan["left_over"]] == [
        ("R-1", True)
    ]
    assert {one["reel"] for one in plan["items"] if one["kind"] == "transfer"} == {"R-2"}
    assert run("chamber", "C1", "--out", "R-1", "--at", at).status == 0
    again = run("plan", "--from", at, "--effort", "0.2", "--json").json
    assert {one["reel"] for one in again["items"] if one["kind"] == "transfer"} == {"R-1", "R-2"}


def test_a_reel_that_went_into_another_chamber_is_struck_out_of_the_planned_load(
    run: Any, tmp_path: Path
) -> None:
    start = STUDIO.index("[[chamber]]")
    block = STUDIO[start : STUDIO.index("[[", start + 2)]
    (tmp_path / "studio.toml").write_text(STUDIO + "\n" + block.replace('"C1"', '"C2"'))
    assert run("new", "--studio", "studio.toml").status == 0
    put(run, [GOOD | {"reel": key} for key in ("R-1", "R-2")])
    assert run("plan", "--effort", "0.3").status == 0
    (load,) = (one for one in run("plan", "--show", "--json").json["items"] if one["kind"] == "condition")
    other = "C2" if load["chamber"] == "C1" else "C1"
    assert run("load", other, "R-1", "--because", "it was at hand").status == 0
    shown = run("tonight").out
    assert f"load chamber {load['chamber']}: R-2" in shown and "R-1, R-2" not in shown
    assert "R-1 must not be done as planned" in run("orders").err


def test_taken_out_the_kept_plan_still_reads(run: Any, shelf: Path) -> None:
    planned(run, shelf, base="acetate")
    assert run("chamber", "--out", "R-1", "--at", FROM).status == 0
    assert run("orders").status == 0
    again = run("plan", "--from", FROM, "--effort", "0.2", "--json")
    assert again.status == 0, again.err


@pytest.mark.parametrize("let_in", [False, True])
def test_a_reel_that_nobody_looked_at_is_opened_when_it_is_out_and_cooled(
    run: Any, shelf: Path, let_in: bool
) -> None:
    there = {} if let_in else {"chamber": "C1", "loaded_at": AT}
    unseen = GOOD | {"reel": "R-2", "condition": "", "stage": "found"}
    put(run, [GOOD | {"reel": "R-1"} | there, unseen | there])
    if let_in:
        assert run("load", "C1", "R-1", "R-2", "--at", AT, "--because", "seen at the other house").status == 0
    plan = run("plan", "--from", FROM, "--effort", "0.2", "--json").json
    row = next(one for one in running(plan)["reels"] if one["reel"] == "R-2")
    looks = [
        item["start"] for item in plan["items"] if (item["kind"], item.get("reel")) == ("identify", "R-2")
    ]
    assert looks and looks[0] >= row["cool_until"], (looks, row)
    assert row["out"] == ("2026-12-01T14:00+00:00" if let_in else "2026-12-01T11:00+00:00")


def test_what_only_the_advice_bars_counts_as_left_over(run: Any, shelf: Path) -> None:
    playable = {"base": "acetate", "playable_until": "2026-12-05T12:00"}
    put(
        run,
        [
            GOOD | {"reel": "R-1", "signs": "", "playable_until": ""},
            GOOD | {"reel": "R-2", "signs": "layers adhere", "playable_until": ""},
            GOOD | {"reel": "R-3", "signs": ""} | playable,
        ],
    )
    (shelf / "s.csv").write_text(
        "song,title,album,priority,needs\nS-1,Spit,Tide,5,R-1\nS-2,Neap,Tide,3,R-1;R-2\n"
    )
    assert run("import", "s.csv").status == 0
    plan = run("plan", "--from", FROM, "--effort", "0.5", "--json").json
    assert run("export", "out").status == 0
    assert judge(shelf / "out", plan) == []
    assert {one["reel"] for one in plan["left_over"] if one["barred_by"]} == {"R-2"}
    waits = 1.5 * 14 * 24
    assert plan["score"] > 3 * waits + 0.01 * waits
    plays = {one["reel"] for one in plan["items"] if one["kind"] == "transfer"}
    assert plays == {"R-1", "R-3"}, "a sticky tape of another base that is still playable is not barred"
