"""Set points, hours and the place over the motor, outside what is published or practised: said, not refused.

Careful sources: 50 to 55 °C or thereabouts (IASA-TC 04: about 50 °C; common practice 54 °C, 130 °F); 1/4 in:
4 to 8 h of common practice and the maker's 6 to 8 h, 1997; the lowest place over a fan motor stays empty.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from doorshelf import STUDIO, put
from pypdf import PdfReader

REEL = {
    "width": "1/4 in", "tracks": "2", "speed": "15 ips", "eq": "NAB", "level": "250 nWb/m",
    "stock": "Ampex 456", "base": "polyester", "condition": "sticky", "stage": "identified",
    "length": "300 ft", "base_seen": "yes",
}  # fmt: skip
AT = "2026-12-02T08:00"


def loaded(run: Any, folder: Path, count: int = 1, **studio: str) -> tuple[Any, str]:
    """What `load` says, and the work orders' text, on a studio with some of its words changed."""
    text = STUDIO
    for old, new in studio.items():
        was = {"warm": 'temperature = "54 degC"', "hours": 'hours = "4 h"', "cool": 'cool = "4 h"',
               "days": "playable_days = 14"}[old]  # fmt: skip
        assert was in text
        text = text.replace(was, was.split(" = ")[0] + (f' = "{new}"' if '"' in was else f" = {new}"), 1)
    (folder / "studio.toml").write_text(text)
    assert run("new", "--studio", "studio.toml").status == 0
    keys = [f"R-{n}" for n in range(count)]
    assert put(run, [{"reel": key, **REEL} for key in keys]).status == 0
    assert run("plan", "--effort", "0.2").status == 0
    done = run("orders", "--out", "paper")
    pages = [page for name in done.out.split("\n") if name for page in PdfReader(name).pages]
    paper = " ".join(" ".join(page.extract_text().split()) for page in pages)
    return run("load", "C1", *keys, "--at", AT), paper


def test_what_is_usual_is_not_spoken_of(run: Any, tmp_path: Path) -> None:
    done, paper = loaded(run, tmp_path)
    assert done.status == 0
    for words in (
        "careful sources",
        "is outside the",
        "over the fan motor;",
        "of cooling after",
        "playable for",
    ):
        assert words not in done.err
        assert words not in paper


@pytest.mark.parametrize(
    ("studio", "says"),
    [
        ({"warm": "59 degC"}, "above the"),
        ({"warm": "40 degC"}, "below the"),
        ({"hours": "0.5 h"}, "0.5 h is outside the"),
        ({"hours": "150 h"}, "150 h is outside the"),
        ({"cool": "0 h"}, "0 min of cooling after 4 h of warmth"),
        ({"days": "400"}, "playable for 400 days: sources say one or two weeks"),
    ],
)
def test_a_set_point_or_hours_that_nobody_gives_are_said(
    run: Any, tmp_path: Path, studio: dict[str, str], says: str
) -> None:
    done, paper = loaded(run, tmp_path, **studio)
    because = run("load", "C1", "R-0", "--at", AT, "--because", "as asked") if done.status else done
    assert says in because.err
    assert says in paper or "150" in says  # no home time is that long: such a load is never planned


def test_the_empty_run_before_a_first_load_is_said_by_plan_and_order_until_it_was_made(
    run: Any, tmp_path: Path
) -> None:
    """Common practice: a dial tells the air, so a chamber runs empty first with a second thermometer."""
    loaded(run, tmp_path, 1)
    assert run("undo").status == 0
    said = "C1 had no empty run yet: run it empty for an evening"

    def told() -> tuple[str, str]:
        plan = run("plan", "--effort", "0.1")
        printed = [name for name in run("orders", "--out", "paper").out.split("\n") if "order-" in name]
        pages = [page for name in printed for page in PdfReader(name).pages]
        return plan.out + plan.err, " ".join(" ".join(page.extract_text().split()) for page in pages)

    plan, paper = told()
    assert "before its first load Tue 1 Dec 18:55: run C1 empty first: a second thermometer" in plan
    assert paper.count(said) == 1
    short = "C1 had no empty run yet: run it empty first, and read two places"
    assert paper.count(short) == 1 and paper.index(short) < paper.index(said), (
        "at the step, before its places"
    )
    assert run("chamber", "C1", "--empty-run", "--at", "2026-12-01T08:00").status == 0
    for place in ("top", "bottom"):
        assert run("chamber", "C1", "--read", f"54 {place}", "--at", "2026-12-01T12:00").status == 0
    assert all(said not in one and short not in one and "empty first" not in one for one in told())


def test_a_full_chamber_of_which_nobody_told_where_its_motor_is_says_if(run: Any, tmp_path: Path) -> None:
    """Practice: nothing next to a motor. The order and its caution say the same; neither claims a motor."""
    done, paper = loaded(run, tmp_path, 6)
    assert done.status == 0
    for told in (done.err, paper):
        assert "all 6 trays of C1 are taken, a reel lies in place 1: if the fan's motor is under it" in told
    assert "over the fan motor" not in done.err + paper


def test_nothing_is_planned_into_the_place_over_a_motor_that_was_told(
    run: Any, tmp_path: Path, monkeypatch: Any
) -> None:
    told = STUDIO.replace("touch_minutes = 10", "touch_minutes = 10\nmotor_below = true")
    monkeypatch.setitem(globals(), "STUDIO", told)
    done, paper = loaded(run, tmp_path, 6)
    assert "all 6 trays of C1 are taken, a reel lies in place 1, over the fan motor" in done.err
    assert "place 1, over the fan motor, stays empty" in paper and "trays of C1 are taken" not in paper
    loads = [one for one in run("plan", "--show", "--json").json["items"] if one["kind"] == "condition"]
    assert loads and max(len(one["reels"]) for one in loads) == 5


def test_a_chamber_whose_trays_lie_over_no_motor_is_filled_without_a_word(
    run: Any, tmp_path: Path, monkeypatch: Any
) -> None:
    told = STUDIO.replace("touch_minutes = 10", "touch_minutes = 10\nmotor_below = false")
    monkeypatch.setitem(globals(), "STUDIO", told)
    done, paper = loaded(run, tmp_path, 6)
    assert done.status == 0 and "motor_below = false" in told
    assert "place 1, over the fan motor" not in done.err + paper
    assert "lowest place;" not in paper.casefold()


@pytest.mark.parametrize("condition", ["sticky", "ok"])
def test_a_repair_beside_a_warm_chamber_is_done_dry(run: Any, tmp_path: Path, condition: str) -> None:
    """The vapour of naphtha creeps to what is hot: the caution of repairs asks for a cold chamber."""
    (tmp_path / "studio.toml").write_text(STUDIO)
    assert run("new", "--studio", "studio.toml").status == 0
    warmed = {"reel": "R-0", **REEL, "condition": condition, "splices": "", "stock": ""}
    spliced = {**REEL, "condition": "ok", "splices": "12", "stock": ""}
    assert put(run, [warmed, *({"reel": f"R-{n}", **spliced} for n in range(1, 5))]).status == 0
    assert run("plan", "--effort", "0.2").status == 0
    items = run("plan", "--show", "--json").json["items"]
    heat = [one for one in items if one["kind"] == "condition"]
    repairs = [one for one in items if one["kind"] == "repair"]
    beside = [a for a in repairs if any(b["start"] < a["end"] and a["start"] < b["end"] for b in heat)]
    assert bool(beside) == (condition == "sticky")
    printed = [name for name in run("orders", "--out", "paper").out.split("\n") if "order-" in name]
    pages = [page for name in printed for page in PdfReader(name).pages]
    paper = " ".join(" ".join(page.extract_text().split()) for page in pages)
    runs = re.search(r"(\d\d:\d\d) to 00:00 run C1 empty", paper)  # until midnight, on the first evening
    first = min((one["start"][:10] for one in repairs), default="")
    trial = [one for one in repairs if runs and one["start"][:10] == first and one["end"][11:16] > runs[1]]
    assert bool(trial) == (condition == "sticky")
    dry = paper.count("C1 is warm: work dry, no lighter fuel or alcohol in that room")
    assert dry == len(beside) + len(trial)


def test_a_take_out_that_is_overdue_says_so(run: Any, tmp_path: Path, monkeypatch: Any) -> None:
    from datetime import UTC, datetime

    loaded(run, tmp_path)
    monkeypatch.setattr("tui.commands.command.now", lambda: datetime(2026, 12, 2, 13, 30, tzinfo=UTC))
    (told,) = run("reels", "--json").json
    assert told["blocked"] == "its hours were up 1 h 30 ago: take it out now, more heat does no good"
    assert "take it out now" in run("chamber").out


def test_a_width_without_a_treatment_proposes_what_is_practised_at_every_door(
    run: Any, tmp_path: Path
) -> None:
    """Quarter-inch tape: 6 h at 130 °F (54.4 °C), cooled as long; the maker's 6 to 8 h, 1997."""
    cut = STUDIO.index("[[treatment]]"), STUDIO.index("[[hours]]")
    (tmp_path / "studio.toml").write_text(STUDIO[: cut[0]] + STUDIO[cut[1] :])
    assert run("new", "--studio", "studio.toml").status == 0
    assert put(run, [{"reel": "R-0", **REEL}]).status == 0
    says = "no treatment for 1/4 in tape in the studio's file; proposed: 54.4 °C for 6 h, then 6 h of cooling"
    planned = run("plan", "--effort", "0.2", "--json").json
    assert says in run("load", "C1", "R-0", "--at", AT, "--because", "to see").err
    assert run("reels", "--json").json[0]["blocked"].startswith(says)
    assert planned["left_over"][0]["why"].startswith(says)
    assert says in run("why", "R-0").out


def test_no_card_advises_to_wind_what_may_not_run_and_every_box_asks_for_the_look(
    run: Any, tmp_path: Path
) -> None:
    loaded(run, tmp_path, 2)
    assert run("set", "R-1", "condition=mould").status == 0
    assert put(run, [{"reel": "U-1", **REEL, "condition": "", "stage": "found"}]).status == 0
    for sheet in ("cards", "labels"):
        done = run("print", sheet, "--out", "boxes")
        paper = " ".join(
            " ".join(page.extract_text().split())
            for name in done.out.split("\n") if name for page in PdfReader(name).pages
        )  # fmt: skip
        assert "look first: nobody has looked at it yet" in paper
        if sheet == "cards":
            assert paper.count("no fast winding") == 2  # of the two that may run


def test_cooling_that_nobody_gives_is_told_where_the_studio_comes_in(run: Any, tmp_path: Path) -> None:
    """Common practice, docs/treatment.md: left in the room as long as it was warm."""
    hot = STUDIO.replace('cool = "4 h"', 'cool = "0 h"', 1)
    assert hot != STUDIO
    told = "0 min of cooling after 4 h of warmth: usual is to leave it in the room as long as it was warm"
    (tmp_path / "hot.toml").write_text(hot)
    assert told in run("new", "--studio", "hot.toml").err
    (tmp_path / "studio.toml").write_text(STUDIO)
    back = run("import", "--update", "studio.toml")
    assert back.status == 0 and "of cooling" not in back.err
    (tmp_path / "studio.toml").write_text(hot)
    assert told in run("import", "--update", "studio.toml").err
