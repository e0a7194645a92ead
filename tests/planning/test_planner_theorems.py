"""Shelves that are classical problems: the planner reaches the score that the cited theorem gives."""

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest
import reeljudge
import reelplanner
import reelsearch
import reeltheorems
from reeljudge_files import read_shelf


@pytest.mark.parametrize("build", reeltheorems.ALL, ids=lambda build: build.__name__)
def test_the_planner_equals_the_theorem(
    build: Callable[[Path], reeltheorems.Theorem], tmp_path: Path
) -> None:
    shelf = build(tmp_path)
    plan = reelplanner.planned(shelf.folder, reeltheorems.START, shelf.days, effort=2)
    assert reeljudge.judge(shelf.folder, plan) == []
    assert plan["score"] == pytest.approx(float(shelf.expected), abs=1e-4), shelf.name
    assert plan["bound"] <= float(shelf.expected) + 1e-4


@pytest.mark.parametrize(
    "build", [reeltheorems.jackson, reeltheorems.three_reels], ids=lambda build: build.__name__
)
def test_the_theorem_equals_the_search(build: Callable[[Path], reeltheorems.Theorem], tmp_path: Path) -> None:
    shelf = build(tmp_path)
    until = (datetime.fromisoformat(reeltheorems.START) + timedelta(days=shelf.days)).isoformat()
    least, _ = reelsearch.least(read_shelf(shelf.folder), reeltheorems.START, until)
    assert least == shelf.expected


def test_putting_verifies_off_past_a_change_gains_nothing_on_the_shelf_with_families(tmp_path: Path) -> None:
    assert (
        reeltheorems.by_sets(reeltheorems.FAMILIES, reeltheorems.CHANGE)
        == reeltheorems.monma_potts(tmp_path).expected
    )


def test_johnsons_makespan_is_the_songs_part_of_the_chamber_and_deck_shelf(tmp_path: Path) -> None:
    songs_part = 9 * reeltheorems.johnson_makespan() / 60
    hundredths = float(reeltheorems.johnson(tmp_path).expected) - songs_part
    # Four reels end within the makespan, so their hundredths lie between nothing and 0.04 times it.
    assert 0 < hundredths <= 0.04 * reeltheorems.johnson_makespan() / 60
