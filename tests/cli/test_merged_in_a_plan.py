"""Two keys of one tape that both stand in the kept plan: it is loaded and played once, and planned again."""

from __future__ import annotations

from typing import Any

from alarmshelf import NOW, Clock, printed


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
