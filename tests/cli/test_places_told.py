"""Where each reel of a load lies, on the order and at the bell, when one of them came out before the rest."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path
from typing import Any

from alarmshelf import Clock, printed
from doorshelf import STUDIO

from core.conditioning.loads.places_now import place_words, places_at
from core.workbook.workbook import Workbook
from tui.board.chamber import next_touches


def at_the_order(run: Any) -> dict[str, list[str]]:
    """By touch of the load, the rows of its reels: reel, from, to."""
    told = printed(run, "orders").split("from place to place then")[1].split("The reels")[0]
    parts = re.split(r"(?=\d\d:\d\d (?:load|turn|take out) )", told)
    row = r"(W-\d) (shelf|place \d+) (place \d+|out)"
    return {part[:5]: [" ".join(one) for one in re.findall(row, part)] for part in parts if part.strip()}


def at_the_bell(clock: Clock) -> str:
    """What the bell of the next touch says of the places."""
    shelf = Workbook.open(Path("tapes.json"), lambda: clock.at).shelf
    touch = next_touches(shelf, clock.at)[0]
    standing = places_at(shelf, touch.chamber, touch.due, touch.reels if touch.do == "take out" else ())
    assert standing is not None
    return place_words(standing)


def test_a_reel_that_came_out_has_no_place_and_the_rest_keep_theirs(there: Any, clock: Clock) -> None:
    """60 trays: the three lie at 2, 22 and 42; two that are left go to 2 and 32 (common practice)."""
    Path("studio.toml").write_text(STUDIO.replace("trays = 6", "trays = 60"))
    assert there("import", "studio.toml", "--update").status == 0
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    laid = ["W-3 shelf place 42", "W-2 shelf place 22", "W-1 shelf place 2"]
    assert at_the_order(there)["12:00"] == laid
    assert at_the_bell(clock) == "W-2 place 22 to 2, W-3 place 42 to 22, W-1 place 2 to 42"
    clock.at += timedelta(minutes=90)
    assert there("chamber", "--out", "W-3").status == 0
    told = at_the_order(there)
    assert told["12:00"] == laid
    assert told["14:00"] == ["W-2 place 22 place 2", "W-1 place 2 place 32"]
    assert at_the_bell(clock) == "W-2 place 22 to 2, W-1 place 2 to 32"
    clock.at += timedelta(minutes=40)
    assert there("chamber", "--turned").status == 0
    assert at_the_bell(clock) == "W-1 out, W-2 out"


def test_what_is_due_out_is_not_turned_first_at_any_command(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    clock.at += timedelta(hours=5)  # of four; nobody turned them
    sheet = there("tonight").out.splitlines()
    first = next(line for line in sheet if "C1: W-1, W-2, W-3" in line and "  done " not in line)
    assert "take out chamber C1" in first and "1 h late: now" in first
    assert not any("turn chamber" in line for line in sheet)
    assert "Next: C1: take out W-1, W-2, W-3 at 16:00" in there("chamber").out
    assert at_the_bell(clock) == "W-1 out, W-2 out, W-3 out"
    assert there("chamber", "--turned").status == 0
    told = there("chamber", "--json").json
    assert {one["out"][11:16] for one in told["reels"]} == {"17:00"}


def test_a_turn_that_nobody_made_moves_no_reel_on_paper_and_at_the_next_touch(
    there: Any, clock: Clock
) -> None:
    """The turn of 14:00 is left out, that of 16:00 made: the places are those of the turns that were made."""
    Path("studio.toml").write_text(STUDIO.replace("trays = 6", "trays = 60"))
    assert there("import", "studio.toml", "--update").status == 0
    for key in ("W-1", "W-2"):
        assert there("set", key, "treatment_hours=8 h").status == 0
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    clock.at += timedelta(hours=3)
    assert "! 14:00  missed: turn the reels now" in there("chamber").out
    clock.at += timedelta(hours=1, minutes=1)
    assert "turn the reels now" not in there("chamber").out  # W-3 is due out, and goes first
    assert there("chamber", "--turned").status == 0  # W-3 comes out, the rest is turned
    told, chamber = at_the_order(there), there("chamber").out
    assert told["16:00"] == ["W-3 place 42 out"]
    assert "turn W-2 place 22 place 2, over" in printed(there, "orders")  # W-1 to W-3 lay at 2, 22 and 42
    assert told["18:00"] == ["W-1 place 32 place 2", "W-2 place 2 place 32"]
    assert at_the_bell(clock) == "W-1 place 32 to 2, W-2 place 2 to 32"
    assert "14:00  missed" in chamber and "turn the reels now" not in chamber
