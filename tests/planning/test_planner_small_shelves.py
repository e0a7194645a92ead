"""On random shelves of up to five reels the planner reaches the least score, found by looking at all.

On 108 of them, or with REELTURN_LONG set on 216.
"""

import os
from collections.abc import Callable
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import reeljudge
import reelplanner
import reelsearch
import reelsmall
from reeljudge_files import read_shelf
from reeljudge_hours import holder

SHELVES = 24 if os.environ.get("REELTURN_LONG") else 12
EACH = 6


Made = Callable[[str, int], tuple[reelsmall.SmallShelf, dict[str, Any]]]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """By family and seed, a small shelf and its plan; each is planned once."""

    @cache
    def planned(family: str, seed: int) -> tuple[reelsmall.SmallShelf, dict[str, Any]]:
        small = reelsmall.small_shelf(tmp_path_factory.mktemp(family), family, seed)
        return small, reelplanner.planned(small.folder, small.start, small.days, effort=1)

    return planned


@pytest.mark.parametrize("first", range(0, SHELVES, EACH))
@pytest.mark.parametrize("family", reelsmall.FAMILIES)
def test_no_plan_is_better(family: str, first: int, made: Made) -> None:
    for seed in range(first, first + EACH):
        small, plan = made(family, seed)
        until = (datetime.fromisoformat(small.start) + timedelta(days=small.days)).isoformat()
        least, proof = reelsearch.least(read_shelf(small.folder), small.start, until)
        assert reeljudge.judge(small.folder, proof) == []

        assert reeljudge.judge(small.folder, plan) == [], seed
        assert plan["score"] == pytest.approx(float(least), abs=1e-4), seed
        assert plan["bound"] <= float(least) + 1e-4, seed


@pytest.mark.parametrize("family", reelsmall.FAMILIES)
def test_of_equal_plans_one_with_fewest_line_ups_then_fewest_evenings(family: str, made: Made) -> None:
    for seed in range(4):
        small, plan = made(family, seed)
        until = (datetime.fromisoformat(small.start) + timedelta(days=small.days)).isoformat()
        search = reelsearch.Search(read_shelf(small.folder), small.start, until, ties=True)
        search.least()
        items = plan["items"]
        bench = [
            int(datetime.fromisoformat(item["start"]).timestamp())
            for item in items
            if item["kind"] != "condition"
        ]
        evenings = {holder(search.case.spans.bench, moment, moment + 60) for moment in bench}
        line_ups = sum(item["kind"] == "align" for item in items)
        assert (line_ups, len(evenings)) == (search.line_ups, search.evenings), seed


@pytest.mark.parametrize(
    ("family", "seed"), [("chamber", 12), ("lapsing", 3), ("songs", 1), ("decks", 2), ("helper", 0)]
)
def test_the_bound_at_once_is_no_higher_than_the_least_score(family: str, seed: int, tmp_path: Path) -> None:
    small = reelsmall.small_shelf(tmp_path, family, seed)
    until = (datetime.fromisoformat(small.start) + timedelta(days=small.days)).isoformat()
    least, _ = reelsearch.least(read_shelf(tmp_path), small.start, until)
    assert 0 < reelplanner.plan(tmp_path, small.start, small.days, seconds=0)["bound"] <= float(least) + 1e-4
