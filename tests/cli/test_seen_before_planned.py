"""What heat and deck would stop at is in no plan until it was seen to: carried out through the command line.

That a box with a warning is opened, a tape looked at that lay beside mould, a chamber wiped that held it,
before anything is warmed or played: common practice of the trade.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from alarmshelf import ROW, Clock
from doorshelf import put

DAYS = ("plan", "--days", "3", "--effort", "0.3")


def planned(run: Any, *words: str) -> tuple[set[tuple[str, str]], dict[str, dict[str, str]]]:
    """What a new plan does with which reel, and what it leaves over."""
    assert run(*(words or DAYS)).status == 0
    told = run("plan", "--show", "--json").json
    steps = {(one["kind"], one["reel"]) for one in told["items"] if "reel" in one}
    loads = {("load", who["reel"]) for one in told["items"] if "reels" in one for who in one["reels"]}
    return steps | loads, {one["reel"]: one for one in told["left_over"]}


def of(steps: set[tuple[str, str]], key: str) -> set[str]:
    return {kind for kind, reel in steps if reel == key}


@pytest.mark.parametrize(
    ("key", "box", "does"),
    [
        ("W-1", "do not bake", {"load", "transfer", "verify"}),
        ("W-2", "Verschimmelt", {"load", "transfer", "verify"}),
        ("P-1", "do not play", {"transfer", "verify"}),
    ],
)
def test_a_tape_whose_box_warns_is_left_out_until_it_was_answered(
    there: Any, key: str, box: str, does: set[str]
) -> None:
    assert there("set", key, f"box_label={box}").status == 0
    stale = there("orders", "--out", "paper")
    assert f'{key} says "{box}" on its box: see to it first, or plan again' in stale.err
    steps, left = planned(there)
    assert of(steps, key) == set() and f'says "{box}" on its box' in left[key]["why"]
    assert f"reelturn tonight looked {key}" in left[key]["barred_by"]
    assert f'says "{box}" on its box' in there("why", key).out
    assert there("tonight", "looked", key).status == 0
    steps, left = planned(there)
    assert of(steps, key) == does and key not in left


def test_a_box_that_nobody_opened_is_looked_at_in_the_plan_and_no_more(there: Any) -> None:
    found = {"reel": "U-1", "stage": "found", "condition": "", "stock": "Harbour 12"}
    assert put(there, [ROW | found | {"box_label": "flaking"}]).status == 0
    steps, left = planned(there)
    assert of(steps, "U-1") == {"identify"} and 'says "flaking" on its box' in left["U-1"]["why"]
    assert there("set", "U-1", "signs=loose oxide", "condition=squeal").status == 0
    assert (
        there("set", "U-1", "signs=", "condition=ok").status == 0
        and there("tonight", "looked", "U-1").status == 0
    )
    steps, left = planned(there)
    assert of(steps, "U-1") == {"identify", "transfer", "verify"} and "U-1" not in left


def test_what_lay_beside_mould_and_its_chamber_wait_and_are_planned_once_seen(
    there: Any, clock: Clock
) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(hours=4)
    assert there("chamber", "C1", "--out", "W-1").status == there("chamber", "C1", "--out", "W-2").status == 0
    clock.at += timedelta(hours=1)
    assert there("set", "W-1", "signs=mould").status == 0
    steps, left = planned(there)
    assert of(steps, "W-2") == of(steps, "W-3") == set()
    assert left["W-2"]["why"].startswith(
        "was beside W-1, which has mould: look at it, with gloves and a mask"
    )
    assert left["W-3"]["why"].startswith(
        "C1 held W-1, which has mould: wipe and air it, with gloves and a mask"
    )
    assert there("load", "C1", "W-3").status == 1, "as its door says"
    assert there("tonight", "wiped", "C1").status == 0
    steps, left = planned(there)
    assert of(steps, "W-3") == {"load", "transfer", "verify"} and "W-2" in left
    assert there("tonight", "looked", "W-2").status == 0
    steps, left = planned(there)
    assert of(steps, "W-2") == {"transfer", "verify"} and set(left) == {"W-1"}
    clock.at += timedelta(days=1, hours=-5)
    assert there("load", "C1", "W-3").status == 0


def test_a_line_up_waits_for_a_calibration_reel_that_is_to_be_looked_at(there: Any) -> None:
    assert there("set", "C-1", "box_label=nicht abspielen").status == 0
    steps, left = planned(there)
    assert {kind for kind, _ in steps} <= {"load", "identify"}
    why = 'D1 cannot be lined up yet: C-1 says "nicht abspielen" on its box: find out why before'
    assert why in left["P-1"]["why"] and "looking at C-1, then planning again" in left["P-1"]["why"]
    assert there("tonight", "looked", "C-1").status == 0
    steps, _ = planned(there)
    assert of(steps, "P-1") == {"transfer", "verify"}


def test_the_plan_in_full_says_beside_a_step_what_it_asks_first(there: Any) -> None:
    assert there("set", "W-1", "box_label=moisi").status == 0
    shown = there("plan", "--show").out
    load = next(number for number, line in enumerate(shown.splitlines()) if "load chamber C1" in line)
    assert shown.splitlines()[load + 1].strip() == '! W-1 says "moisi" on its box'
