"""Whatever a shelf lacks, there is a plan of what can be done and a reason for the rest."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import reeljudge
import reelplanner
from reelevening import Week


def _hours(week: Week, *rows: dict[str, Any]) -> None:
    week.studio["hours"] = list(rows)


EVENING = {"days": ["mon"], "from": "18:00", "to": "22:00", "bench": True, "home": True}

LACKING: dict[str, tuple[set[str], Callable[[Week], object]]] = {
    "no hours at all": ({"A", "B"}, lambda w: _hours(w)),
    "evenings too short for any line-up": ({"A", "B"}, lambda w: _hours(w, EVENING | {"to": "18:30"})),
    "nobody home for a whole load": (
        {"B"},
        lambda w: _hours(w, EVENING, EVENING | {"days": ["tue"], "to": "21:00"}),
    ),
    "only days off": ({"A", "B"}, lambda w: _hours(w, {"dates": ["2026-09-08"], "off": True})),
    "no deck for a width": ({"A", "B"}, lambda w: w.studio["deck"][0].update(widths=["2 in"])),
    "no deck with the tracks": ({"A"}, lambda w: w.reel("A").update(tracks=24)),
    "a chamber without trays": ({"B"}, lambda w: w.studio["chamber"][0].update(trays=0)),
    "no chamber": ({"B"}, lambda w: w.studio.update(chamber=[])),
    "no treatment for the width": ({"B"}, lambda w: w.studio["treatment"].pop(0)),
    "a helper who never comes": ({"A", "B"}, lambda w: w.studio["deck"][0].update(setup_needs_helper=True)),
    "no calibration reel": (set(), lambda w: w.reels.pop()),
    "a mouldy calibration reel": (set(), lambda w: w.reel("CAL").update(condition="mould")),
    "a calibration reel that no deck takes": (set(), lambda w: w.reel("CAL").update(width="2 in")),
    "loud time that ends before any line-up": (
        {"A", "B"},
        lambda w: (
            w.studio["deck"][0].update(loud=True),
            [row.update(loud_until="18:20") for row in w.studio["hours"][:1]],
            w.studio["hours"].pop(),
        ),
    ),
    "an acetate reel that is sticky": ({"B"}, lambda w: w.reel("B").update(base="acetate")),
    "a reel of no known width": ({"A"}, lambda w: w.reel("A").update(width="")),
    "a reel that nobody inspected": (set(), lambda w: w.reel("A").update(condition="")),
}


@pytest.mark.parametrize(("left", "change"), LACKING.values(), ids=LACKING.keys())
def test_left_over_with_a_reason(left: set[str], change: Callable[[Week], object], tmp_path: Path) -> None:
    week = Week()
    change(week)
    week.write(tmp_path)
    plan = reelplanner.plan(tmp_path, "2026-09-07T18:00", 7, effort=0.3)
    assert reeljudge.judge(tmp_path, plan) == []
    assert {row["reel"] for row in plan["left_over"]} == left
    assert all(len(row["why"].split()) > 1 for row in plan["left_over"])


def test_everything_verified_is_nothing_to_do(tmp_path: Path) -> None:
    week = Week()
    week.reel("A")["stage"] = week.reel("B")["stage"] = "verified"
    week.items = []
    week.write(tmp_path)
    plan = reelplanner.plan(tmp_path, "2026-09-07T18:00", 7, effort=0.3)
    assert reeljudge.judge(tmp_path, plan) == []
    assert (plan["status"], plan["score"]) == ("nothing to do", 0)


def test_only_barred_reels_left_is_nothing_to_do(tmp_path: Path) -> None:
    week = Week()
    week.reel("A")["condition"] = week.reel("B")["condition"] = "mould"
    week.items = []
    week.write(tmp_path)
    plan = reelplanner.plan(tmp_path, "2026-09-07T18:00", 7, effort=0.3)
    assert reeljudge.judge(tmp_path, plan) == []
    assert plan["status"] == "nothing to do"
    assert len(plan["left_over"]) == 2


def test_a_shelf_without_reels(tmp_path: Path) -> None:
    week = Week()
    week.reels, week.songs, week.items = [], [], []
    week.write(tmp_path)
    plan = reelplanner.plan(tmp_path, "2026-09-07T18:00", 7, seconds=0)
    assert reeljudge.judge(tmp_path, plan) == []
