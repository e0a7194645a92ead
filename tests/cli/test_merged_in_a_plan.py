"""Two keys of one tape that both stand in the kept plan: it is loaded and played once, and planned again."""

from __future__ import annotations

from typing import Any

import pytest
from alarmshelf import NOW, ROW, Clock, printed
from doorshelf import put


def test_what_two_keys_had_in_the_plan_is_done_once_and_planned_again(there: Any) -> None:
    assert there("merge", "W-1", "W-2").status == 0
    rows = there("tonight").out
    assert "load chamber C1: W-1, W-3" in rows and rows.count("transfer W-1") == 1
    orders = printed(there, "orders")
    assert "Load chamber C1: W-1 and W-3" in orders and orders.count("Transfer W-1") == 1
    assert "W-2 is not on the shelf any more: plan again" in there("orders", "--out", "paper").err
    assert there("tonight", "begin", "load chamber C1").status == 0
    assert there("plan", "--days", "3", "--effort", "0.3").status == 0
    assert there("orders", "--out", "paper").err == ""


def test_an_acetate_tape_that_lay_in_the_heat_is_told_afterwards_and_said_at_the_deck(
    there: Any, clock: Clock
) -> None:
    assert there("set", "W-1", "base=acetate", "base_seen=acetate").status == 0
    clock.at = NOW.replace(hour=13)
    refused = there("load", "C1", "W-1", "W-2", "--at", "2026-12-02T12:05", "--because", "it was so")
    assert refused.status == 1
    assert "(if it lay there: `reelturn tonight lay W-1 C1 --at TIME`)" in refused.err
    assert there("load", "C1", "W-2", "--at", "2026-12-02T12:05").status == 0
    assert there("tonight", "lay", "W-1", "C1", "--at", "12:05").status == 0
    told = next(one for one in there("reels", "--json").json if one["reel"] == "W-1")
    assert "is acetate and was warmed: never again" in told["blocked"]
    assert there("set", "W-1", "condition=ok", "stock=").status == 0
    assert "is acetate and was warmed: never again" in printed(there, "print", "labels")


def test_a_merge_says_by_name_what_came_and_what_is_next_now(there: Any) -> None:
    assert put(there, [ROW | {"reel": "X-1", "stock": "Ampex 456", "condition": "sticky"}]).status == 0
    told = there("merge", "P-1", "X-1")
    came = told.out.partition("with it came: ")[2]
    assert came.startswith("stock Ampex 456, condition sticky; ") and "nothing" not in came, came
    assert "next on it: warm 4 h, no more line up D1" in came
    assert "struck out of the kept plan: " in told.err and "transfer P-1" in told.err


@pytest.mark.parametrize(
    ("brings", "named"),
    [
        ({"signs": "mould", "condition": ""}, "signs mould"),
        ({"base": "acetate", "base_seen": "acetate"}, "base acetate"),
    ],
)
def test_what_forbids_the_heat_is_named_where_it_came(there: Any, brings: dict[str, str], named: str) -> None:
    assert there("set", "W-1", "box_label=Pier").status == 0
    row = ROW | {"reel": "X-1", "stock": "Ampex 456", "condition": "sticky"} | brings
    assert put(there, [row]).status == 0
    told = there("merge", "W-1", "X-1")
    assert named in told.out and "no more warm 4 h" in told.out, told.out
    assert "warm W-1 " in told.err and "struck out of the kept plan: " in told.err


def test_a_word_on_the_other_box_is_named_and_what_it_asks(there: Any) -> None:
    assert there("set", "W-1", "box_label=Pier").status == 0
    words = {"stock": "Ampex 456", "condition": "sticky", "box_label": "mouldy, do not bake"}
    assert put(there, [ROW | {"reel": "X-1"} | words]).status == 0
    told = there("merge", "W-1", "X-1").out
    assert "; in its notes: box label mouldy, do not bake" in told, told
    assert "with it came: first: " in told and told.index("first: ") < told.index("in its notes")


def test_where_both_keys_are_planned_what_the_merge_struck_is_named(there: Any) -> None:
    told = there("merge", "P-1", "W-1")
    line = next(one for one in told.err.splitlines() if "struck out of the kept plan: " in one)
    assert "transfer P-1 " in line, told
    assert "condition sticky" in told.out and "next on it: warm 4 h" in told.out
