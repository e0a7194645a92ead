"""On random shelves of up to five reels the planner reaches the least score, found by looking at all.

On 108 of them, or with REELTURN_LONG set on 216.
"""

import os
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import reeljudge
import reelplanner
import reelsearch
import reelsmall
from reelbounds import ROUNDED, beginning, bounds_of
from reeljudge_files import read_shelf
from reeljudge_hours import holder

SHELVES = 24 if os.environ.get("REELTURN_LONG") else 12
EACH = 6
TIED = 4  # seeds below it are searched for the fewest line-ups and evenings too
BOUNDED = 2  # of each six, whose bounds are all asked for


@pytest.mark.parametrize("first", range(0, SHELVES, EACH))
@pytest.mark.parametrize("family", reelsmall.FAMILIES)
def test_no_plan_is_better_and_no_bound_is_above_it(family: str, first: int, tmp_path: Path) -> None:
    for seed in range(first, first + EACH):
        small = reelsmall.small_shelf(tmp_path / str(seed), family, seed)
        plan = reelplanner.planned(small.folder, small.start, small.days, effort=1)
        until = (datetime.fromisoformat(small.start) + timedelta(days=small.days)).isoformat()
        search = reelsearch.Search(read_shelf(small.folder), small.start, until, ties=seed < TIED)
        least, moves = search.least()
        assert reeljudge.judge(small.folder, search.plan(moves)) == []

        assert reeljudge.judge(small.folder, plan) == [], seed
        assert plan["score"] == pytest.approx(float(least), abs=1e-4), seed
        assert plan["bound"] <= float(least) + 1e-4, seed
        if seed < TIED:
            assert _ties(plan, search) == (search.line_ups, search.evenings), (
                f"{seed}: of equal plans one with fewest line-ups, then fewest evenings"
            )
        if seed - first < BOUNDED:
            assert max(bounds_of(beginning(small.folder, small.start, small.days))) <= least + ROUNDED, seed


def _ties(plan: dict[str, Any], search: reelsearch.Search) -> tuple[int, int]:
    """Line-ups and evenings of that plan."""
    items = plan["items"]
    bench = [
        int(datetime.fromisoformat(item["start"]).timestamp())
        for item in items
        if item["kind"] != "condition"
    ]
    evenings = {holder(search.case.spans.bench, moment, moment + 60) for moment in bench}
    return sum(item["kind"] == "align" for item in items), len(evenings)


@pytest.mark.parametrize(
    ("family", "seed"), [("chamber", 12), ("lapsing", 3), ("songs", 1), ("decks", 2), ("helper", 0)]
)
def test_the_bound_at_once_is_no_higher_than_the_least_score(family: str, seed: int, tmp_path: Path) -> None:
    small = reelsmall.small_shelf(tmp_path, family, seed)
    until = (datetime.fromisoformat(small.start) + timedelta(days=small.days)).isoformat()
    least, _ = reelsearch.least(read_shelf(tmp_path), small.start, until)
    assert 0 < reelplanner.plan(tmp_path, small.start, small.days, seconds=0)["bound"] <= float(least) + 1e-4
