"""Plans of shelves with every trouble break no rule, at once and after some search."""

import json
from pathlib import Path
from typing import Any

import pytest
import reelhalf
import reeljudge
import reelplanner
import reeltroubles
from reelbounds import beginning, bounds_of

BOUNDED = (3, 7, 9, 100, 102, 103)
"""Seeds whose plans all bounds are held against; of others with a dozen reels they take seconds."""


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("size", ["6", "12", "24", "fortnight"])
def test_the_first_plan_breaks_no_rule(size: str, seed: int, tmp_path: Path) -> None:
    shelf = reeltroubles.troubled_shelf(tmp_path, size, seed, comfort=seed % 2 == 1)
    plan = reelplanner.planned(shelf.folder, shelf.start, shelf.days, effort=0)
    assert reeljudge.judge(shelf.folder, plan) == []


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("size", ["6", "12", "24", "fortnight"])
def test_the_command_line_prints_a_plan_that_breaks_no_rule(size: str, seed: int, tmp_path: Path) -> None:
    shelf = reeltroubles.troubled_shelf(tmp_path, size, seed, comfort=seed % 2 == 1)
    plan = reelplanner.plan(shelf.folder, shelf.start, shelf.days, seconds=0)
    assert reeljudge.judge(shelf.folder, plan) == []
    assert all(len(row["why"].split()) > 1 for row in plan["left_over"])


@pytest.mark.parametrize("seed", range(10))
def test_odd_settings_break_no_rule(seed: int, tmp_path: Path) -> None:
    shelf = reeltroubles.troubled_shelf(tmp_path, "12", seed, odd=True, comfort=seed % 2 == 1)
    how: dict[str, float] = {"effort": 0.5} if seed % 2 else {"seconds": 0}
    plan = reelplanner.plan(shelf.folder, shelf.start, shelf.days, **how)
    assert reeljudge.judge(shelf.folder, plan) == []
    if seed in BOUNDED:
        _no_bound_is_above(plan, shelf)


@pytest.mark.parametrize("seed", range(100, 104))
@pytest.mark.parametrize("size", ["12", "24", "fortnight"])
def test_a_searched_plan_breaks_no_rule_and_is_no_worse(size: str, seed: int, tmp_path: Path) -> None:
    shelf = reeltroubles.troubled_shelf(tmp_path, size, seed, comfort=seed % 2 == 1)
    first = reelplanner.planned(shelf.folder, shelf.start, shelf.days, effort=0)
    better = reelplanner.planned(shelf.folder, shelf.start, shelf.days, effort=0.5)
    assert reeljudge.judge(shelf.folder, better) == []
    assert better["score"] <= first["score"]
    assert first["bound"] <= better["score"] + 1e-4
    if size == "12" and seed in BOUNDED:
        _no_bound_is_above(better, shelf)


def _no_bound_is_above(plan: dict[str, Any], shelf: reeltroubles.TroubledShelf) -> None:
    bounds = bounds_of(beginning(shelf.folder, shelf.start, shelf.days))
    assert max(bounds) <= plan["score"] + 1e-4


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("size", ["12", "24"])
def test_plans_of_half_known_shelves_break_no_rule(size: str, seed: int, tmp_path: Path) -> None:
    shelf = reeltroubles.troubled_shelf(tmp_path, size, seed, comfort=True)
    reelhalf.half_known(shelf.folder, seed)
    for effort in (0, 0.25):
        plan = reelplanner.planned(shelf.folder, shelf.start, shelf.days, effort=effort)
        assert reeljudge.judge(shelf.folder, plan) == []


def test_sixty_reels(tmp_path: Path) -> None:
    shelf = reeltroubles.troubled_shelf(tmp_path, "60", 1)
    plan = reelplanner.plan(shelf.folder, shelf.start, shelf.days, effort=1)
    assert reeljudge.judge(shelf.folder, plan) == []


def test_a_short_search_proves_its_plan_nearly_best(tmp_path: Path) -> None:
    """A shelf whose songs are not proven in that time where the solver of plans alone is asked of them."""
    shelf = reeltroubles.troubled_shelf(tmp_path, "24", 9, comfort=True)
    plan = reelplanner.planned(shelf.folder, shelf.start, shelf.days, effort=3)
    assert plan["gap"] <= 0.01
    assert reeljudge.judge(shelf.folder, plan) == []


def test_the_same_effort_gives_the_same_plan_to_the_byte(tmp_path: Path) -> None:
    shelf = reeltroubles.troubled_shelf(tmp_path, "12", 3)
    file = reelplanner.fill(shelf.folder)
    twice = [reelplanner.printed_plan(file, shelf.start, shelf.days, "--effort", "1") for _ in range(2)]
    assert twice[0] == twice[1]
    assert reeljudge.judge(shelf.folder, json.loads(twice[0])) == []
