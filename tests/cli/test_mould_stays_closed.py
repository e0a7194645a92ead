"""A tape with mould that nobody identified: its box is not opened, and no door speaks of a look at it."""

from __future__ import annotations

from typing import Any

import pytest
from alarmshelf import ROW, Clock, printed
from doorshelf import put

MOULD = "mould: a danger to people and to other tapes"


@pytest.mark.parametrize("role", ["", "calibration"])
@pytest.mark.parametrize("field", ["condition", "signs"])
def test_a_mouldy_tape_that_is_found_is_not_identified(there: Any, role: str, field: str) -> None:
    row = ROW | {"reel": "M-1", "role": role, "stage": "found", "condition": "", field: "mould"}
    assert put(there, [row]).status == 0
    told = next(one for one in there("reels", "--json").json if one["reel"] == "M-1")
    assert told["next"].startswith(MOULD) and "identify" not in told["next"]
    assert MOULD in told["blocked"]
    refused = there("mark", "M-1", "identified")
    assert refused.status == 1 and f"its box stays closed: {MOULD}" in refused.err
    assert there("mark", "M-1", "identified", "--because", "a specialist cleaned it").status == 0


def test_a_calibration_tape_with_mould_is_told_so_while_it_cools(there: Any, clock: Clock) -> None:
    assert there("set", "C-1", "condition=sticky", "stock=Ampex 456").status == 0
    assert there("load", "C1", "C-1").status == 0
    clock.at = clock.at.replace(hour=16, minute=5)
    assert there("chamber", "--out", "C-1").status == 0
    assert there("set", "C-1", "condition=sticky;mould").status == 0
    told = next(one for one in there("reels", "--json").json if one["reel"] == "C-1")
    assert told["next"].startswith(MOULD)


def test_a_look_that_finds_mould_ends_and_the_tape_stays_found(there: Any) -> None:
    row = ROW | {"reel": "L-1", "stage": "found", "condition": ""}
    assert put(there, [row]).status == 0
    assert there("plan", "--days", "2", "--effort", "0.2").status == 0
    assert there("tonight", "begin", "identify L-1").status == 0
    assert there("set", "L-1", "condition=mould").status == 0
    assert there("tonight", "end", "identify L-1").status == 0
    told = next(one for one in there("reels", "--json").json if one["reel"] == "L-1")
    assert (told["stage"], told["next"].startswith(MOULD)) == ("found", True)


def test_a_planned_look_at_a_tape_named_through_its_closed_box_is_behind_it(there: Any) -> None:
    """Identified for a reason, its condition not told: nothing of it is looked at any more."""
    assert put(there, [ROW | {"reel": "L-1", "stage": "found", "condition": ""}]).status == 0
    assert there("plan", "--days", "2", "--effort", "0.2").status == 0
    assert there("set", "L-1", "signs=mould").status == 0
    assert there("tonight", "begin", "identify L-1").status == 1
    assert there("mark", "L-1", "identified", "--because", "label read through the lid").status == 0
    again = there("tonight", "begin", "identify L-1")
    assert (again.status, "identify L-1 is done already" in again.err) == (1, True)


def test_a_sign_on_the_box_that_nobody_wrote_down_is_told(there: Any) -> None:
    boxes = {
        "V-1": "demo, vinegar", "V-2": "mold on edge", "V-3": "no mould",
        "V-4": "Schimmel!", "V-5": "mildew", "V-6": "Essig",
    }  # fmt: skip
    rows = [ROW | {"reel": key, "stock": "Ampex 456", "condition": "sticky", "box_label": says}
            for key, says in boxes.items()]  # fmt: skip
    assert put(there, rows).status == 0
    says = '{} says "{}" on its box: look{}, and write down what is so before it is warmed or runs'
    unsmelled = ", with gloves and a mask, and do not smell at it"
    told = there("load", "C1", *boxes)
    assert told.status == 1
    words = {"V-1": "vinegar", "V-2": "mold", "V-4": "Schimmel", "V-5": "mildew", "V-6": "Essig"}
    for key, word in words.items():
        how = " and smell" if key in ("V-1", "V-6") else unsmelled
        assert says.format(key, word, how) in told.err
    assert "V-3 says" not in told.err
    assert "on its box" in printed(there, "print", "labels")
    assert there("load", "C1", *boxes, "--because", "looked into").status == 0
    assert there("set", "V-3", "box_label=", "contents=acetate, smells of vinegar", "base_seen=").status == 0
    assert "Take V-3 out of chamber C1 now" in there("tonight").out
    labels = printed(there, "print", "labels")
    assert 'says "vinegar" on its box: look and smell' in labels  # what V-3 is said to hold was not answered
    assert all(f'says "{word}" on its box' not in labels for word in ("mold", "Schimmel", "mildew"))
