"""A tape that was marked transferred ran on a deck as a pass does: what it left there is wiped first."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from alarmshelf import STEP, Clock, plays

LEAVES = ("signs=mould", "signs=vinegar", "signs=loose oxide", "condition=sticky")


@pytest.mark.parametrize("known", ["before", "after"])
@pytest.mark.parametrize("fact", LEAVES)
def test_a_tape_told_as_played_leaves_the_path_to_be_wiped(
    there: Any, clock: Clock, fact: str, known: str
) -> None:
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    clock.at += timedelta(minutes=20)
    tell = ("set", "P-1", "condition=", fact)
    acts = [tell, ("mark", "P-1", "transferred", "--because", "ran before")]
    for words in acts if known == "before" else reversed(acts):
        assert there(*words).status == 0, words
    says = "D1's path is not wiped since P-1 ran on it"
    assert f"! {says}" in there("tonight").out
    assert "D1: path is not wiped since P-1 ran on it" in there("closing").out
    refused = there("tonight", "begin", "transfer P-2")
    assert refused.status == 1 and says in refused.err
    clock.at += timedelta(minutes=1)
    assert there("tonight", "wiped", "D1").status == 0
    assert there("tonight", "begin", "transfer P-2").status == 0


def test_a_clean_tape_told_as_played_asks_for_nothing_and_a_mark_is_taken_back(
    there: Any, clock: Clock
) -> None:
    assert there("mark", "P-1", "transferred", "--because", "ran before").status == 0
    assert "not wiped" not in there("tonight").out
    assert there("rename", "P-1", "P-9").status == 0
    assert there("set", "P-9", "condition=", "signs=mould").status == 0
    assert "not wiped since P-9 ran on it" in there("tonight").out
    for _ in range(3):
        assert there("undo").status == 0
    assert there("set", "P-1", "condition=", "signs=mould").status == 0
    assert "not wiped" not in there("tonight").out


@pytest.mark.parametrize("how", ["end", "mark"])
def test_gum_that_is_told_after_a_treated_tape_ran_is_wiped_off(there: Any, clock: Clock, how: str) -> None:
    treated = ("condition=sticky", "stage=conditioned", "conditioned_at=2026-12-01T08:00")
    assert there("set", "P-1", *treated).status == 0
    if how == "end":
        plays(there, clock)
        clock.at += timedelta(minutes=20)
        assert there("tonight", "end", "transfer P-1", "--because", "heard").status == 0
    else:
        assert there("mark", "P-1", "transferred", "--because", "ran before").status == 0
    assert "not wiped" not in there("tonight").out
    clock.at += timedelta(minutes=5)
    assert there("set", "P-1", "tried=gum").status == 0
    says = "D1's path is not wiped since P-1 ran on it (it left brown gum)"
    assert says in there("tonight").out
    assert says in there("tonight", "begin", "transfer P-2").err
