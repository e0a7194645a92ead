"""A load that began without one of its tapes, a tape let in for a reason, a tape that plays."""

from __future__ import annotations

from datetime import datetime, timedelta
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


@pytest.fixture
def shelf(run: Any, tmp_path: Path) -> Any:
    """Two sticky tapes, one that was never sticky, one that is sticky without a back coat."""
    (tmp_path / "studio.toml").write_text(STUDIO)
    assert run("new", "--studio", "studio.toml").status == 0
    rows = [{"reel": key, **REEL, "back_coat": ""} for key in ("G1", "G2")]
    rows.append({"reel": "OK", **REEL, "back_coat": "", "stock": "BASF SM 911", "condition": "ok"})
    rows.append({"reel": "BARE", **REEL, "stock": "", "back_coat": "no"})
    assert put(run, rows).status == 0
    return run


def ordered(run: Any) -> str:
    """The work orders' text."""
    done = run("orders", "--out", "paper")
    pages = [page for name in done.out.split("\n") if name for page in PdfReader(name).pages]
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_a_tape_left_out_of_a_load_as_it_began_is_in_it_on_no_face(shelf: Any) -> None:
    assert shelf("plan", "--effort", "1").status == 0
    load = next(one for one in shelf("plan", "--show", "--json").json["items"] if one["kind"] == "condition")
    assert {one["reel"] for one in load["reels"]} == {"G1", "G2"}
    assert shelf("load", "C1", "G1", "--at", load["start"]).status == 0
    for told in (shelf("plan", "--show").out, shelf("tonight").out + shelf("tonight").err, ordered(shelf)):
        assert "G2: C1 was loaded without it" in told or "plan again" in told
    shown = shelf("plan", "--show").out
    assert "C1 was loaded without it" in shown and "this plan does not warm it" in shown
    rung = [line for line in shelf("calendar").out.splitlines() if line.startswith("SUMMARY:")]
    assert any("G1" in line for line in rung) and not any("G2" in line for line in rung)
    assert shelf("why", "G2").err or "loaded without it" in shelf("why", "G2").out


def test_a_load_that_is_over_is_not_offered_again_for_the_tape_that_was_left_out(
    shelf: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It began, ran and came out: what stayed on the shelf is said as left out, and nothing of it is late."""
    assert shelf("plan", "--effort", "1").status == 0
    load = next(one for one in shelf("plan", "--show", "--json").json["items"] if one["kind"] == "condition")
    out = next(one["out"] for one in load["reels"] if one["reel"] == "G1")
    assert shelf("load", "C1", "G1", "--at", load["start"]).status == 0
    later = datetime.fromisoformat(out) + timedelta(minutes=5)
    monkeypatch.setattr("tui.commands.command.now", lambda: later)
    assert shelf("mark", "G1", "conditioned", "--at", out).status == 0
    told = shelf("tonight")
    assert "G2 must not be done as planned (C1 was loaded without it)" in told.out + told.err
    waits = [line for line in told.out.splitlines() if " chamber C1" in line and "  done " not in line]
    assert not waits
    assert "chamber late" not in told.out


def test_a_tape_let_in_for_a_reason_is_turned_and_comes_out_in_the_next_plan(shelf: Any) -> None:
    ran = shelf("load", "C1", "BARE", "--at", "2026-12-01T18:00", "--because", "its like was cured before")
    assert ran.status == 0, ran.err
    told = shelf("plan", "--effort", "1")
    shown = shelf("plan", "--show").out
    assert "BARE" in shown and "struck out" not in shown, shown
    assert "BARE must not be done" not in told.err + shelf("tonight").err + shelf("tonight").out
    assert "struck out" not in ordered(shelf)


def test_a_tape_that_plays_goes_into_no_chamber(shelf: Any) -> None:
    assert shelf("plan", "--effort", "1").status == 0
    assert shelf("set", "OK", "tried=clean").status == 0
    assert shelf("tonight", "begin", "transfer OK").status == 0
    ran = shelf("load", "C1", "OK", "--because", "it may help")
    assert ran.status == 1 and "it is playing" in ran.err


def test_a_tape_that_stopped_on_the_deck_is_not_played_as_treated(shelf: Any) -> None:
    """Told to the chamber's log it is the same as told to the deck: it waits for another treatment."""
    times = ("--at", "2026-11-29T08:00"), ("--at", "2026-11-29T12:00"), ("--at", "2026-12-01T18:00")
    assert shelf("load", "C1", "G1", *times[0]).status == 0
    assert shelf("mark", "G1", "conditioned", *times[1]).status == 0
    assert shelf("chamber", "C1", "--ran", "G1", "clean heads", *times[2]).status == 0
    assert {one["reel"]: one["advice"] for one in shelf("reels", "--json").json}["G1"] == "play"
    assert shelf("chamber", "C1", "--ran", "G1", "stopped", *times[2]).status == 0
    assert {one["reel"]: one["advice"] for one in shelf("reels", "--json").json}["G1"] == "warm"
    assert shelf("undo").status == 0
    assert {one["reel"]: one["advice"] for one in shelf("reels", "--json").json}["G1"] == "play"


def test_one_tape_of_two_keys_has_the_base_that_was_seen(shelf: Any) -> None:
    rows = [{"reel": "A", **REEL, "base_seen": ""}, {"reel": "B", **REEL, "base": "acetate", "stock": ""}]
    assert put(shelf, rows).status == 0
    assert shelf("merge", "A", "B").status == 0
    told = {one["reel"]: one["advice"] for one in shelf("reels", "--json").json}
    assert told["A"] == "never"


def test_the_next_turn_is_the_one_that_nobody_logged_overdue_or_done_early(shelf: Any) -> None:
    """A load since 15:30 with a turn due at 17:30; it is 18:52 now."""
    assert shelf("load", "C1", "G1", "--at", "2026-12-01T15:30").status == 0

    def step() -> str:
        return next(one["next"] for one in shelf("reels", "--json").json if one["reel"] == "G1")

    assert step() == "turn, 17:30" and "17:30" in shelf("chamber").out
    assert shelf("chamber", "C1", "--turned", "--at", "2026-12-01T18:52").status == 0
    assert step() == "out at 19:30"
    assert shelf("undo").status == 0 and step() == "turn, 17:30"


def test_a_card_that_forbids_heat_makes_no_warmth_the_way_to_play(shelf: Any) -> None:
    assert shelf("set", "G1", "base=acetate").status == 0
    for key, forbidden in (("G1", True), ("G2", False)):
        done = shelf("print", "reel", key, "--out", f"paper-{key}")
        names = [name for name in done.out.split("\n") if name]
        text = " ".join(page.extract_text() for name in names for page in PdfReader(name).pages)
        assert ("NO HEAT" in text) is forbidden
        assert ("before it was warmed" in text) is not forbidden
