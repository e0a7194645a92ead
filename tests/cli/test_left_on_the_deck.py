"""A tape that stands stopped in mid pass lies on both reels: what is asked before its deck is used again."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from alarmshelf import Clock, plays, printed

MOULD = ("condition=", "signs=mould")


def test_a_tape_that_goes_on_another_evening_holds_its_deck_until_it_is_lifted_off(
    there: Any, clock: Clock
) -> None:
    plays(there, clock)
    assert there("tonight", "stop", "--because", "it got late").status == 0
    lies = (
        "P-1 lies on both reels of D1 at 3:00: it goes on from there; for anything else lift both reels off"
    )
    assert lies not in there("tonight").out  # it is in one's hands still
    clock.at += timedelta(days=1)
    assert there("plan", "--days", "3", "--effort", "1").status == 0
    assert f"! {lies}" in there("tonight").out and printed(there, "orders").count(lies) == 1
    assert "P-1 (stands at 3:00: what was played is on the take-up reel" in there("closing").out
    refused = there("tonight", "begin", "transfer P-2")
    assert refused.status == 1 and lies in refused.err and "reelturn tonight lifted P-1" in refused.err
    assert there("tonight", "lifted", "P-1").status == 0 and there("tonight", "lifted", "P-1").status == 1
    assert lies not in there("tonight").out and "P-1 (stands at" not in there("closing").out
    assert "P-1" in there("tonight").out and "on two reels" in printed(there, "orders")
    assert there("tonight", "begin", "transfer P-2").status == 0


def test_a_tape_that_must_not_run_any_more_is_not_told_to_go_on(there: Any, clock: Clock) -> None:
    """Stopped in mid pass, and mould is seen on it: both its reels are lifted off and bagged."""
    plays(there, clock)
    assert there("tonight", "stop", "--because", "it smells").status == 0
    assert there("set", "P-1", *MOULD).status == 0
    must = "P-1 lies on both reels of D1 at 3:00: it must not run any more (mould: a danger"
    lay = "lift both reels off together, and lay them apart from all tapes, in a closed bag, with gloves"
    early = there("tonight", "wiped", "D1")  # its tape runs through the path still
    assert early.status == 1 and "D1 is not wiped while P-1 lies on it: take it off first" in early.err
    clock.at += timedelta(days=1)
    told = there("tonight").out
    assert must in told and lay in told and "goes on from there" not in told
    assert there("plan", "--days", "3", "--effort", "1").status == 0
    paper = printed(there, "orders")
    assert must in paper and lay in paper and "goes on from there" not in paper
    refused = there("tonight", "begin", "transfer P-2")
    assert refused.status == 1 and lay in refused.err and "reelturn tonight lifted P-1" in refused.err
    assert there("tonight", "lifted", "P-1").status == 0 and lay not in there("tonight").out
    assert there("tonight", "wiped", "D1").status == 0
    assert there("tonight", "begin", "transfer P-2").status == 0


@pytest.mark.parametrize(
    ("facts", "why"),
    [
        (MOULD, "mould: a danger"),
        (("condition=squeal", "stock=Harbour 12"), "find the cause"),
        (("stock=Ampex 456 Grand Master",), "written like Ampex 456"),
        (("signs=layers adhere", "condition="), "layers"),
        (("condition=sticky", "base=unknown", "base_seen="), "base"),
    ],
)
def test_a_tape_that_may_not_go_on_is_asked_for_that_very_evening(
    there: Any, clock: Clock, facts: tuple[str, ...], why: str
) -> None:
    plays(there, clock)
    assert there("tonight", "stop", "--because", "it squeals").status == 0
    assert there("set", "P-1", *facts).status == 0
    must = "P-1 lies on both reels of D1 at 3:00: it must not run any more ("
    refused = there("tonight", "begin", "transfer P-2")
    assert refused.status == 1 and must in refused.err and "reelturn tonight lifted P-1" in refused.err
    assert why in refused.err and f"! {must}" in there("tonight").out
    assert must in printed(there, "orders")
    assert there("tonight", "lifted", "P-1").status == 0 and must not in there("tonight").out
    there("tonight", "wiped", "D1")
    assert there("tonight", "begin", "transfer P-2").status == 0


def test_a_tape_that_is_to_be_warmed_first_is_not_told_to_go_on(there: Any, clock: Clock) -> None:
    """It shed in mid pass: its reels are lifted off, and it is told so no more once it lies in a chamber."""
    plays(there, clock)
    assert there("tonight", "stop", "--because", "squeal").status == 0
    assert there("set", "P-1", "condition=sticky").status == 0
    same = there("tonight", "begin", "transfer P-2")  # that very evening
    assert same.status == 1 and "P-1 lies on both reels of D1 at 3:00: it does not run before" in same.err
    clock.at += timedelta(days=1)
    told = " ".join(there("tonight").out.split())
    warm = "P-1 lies on both reels of D1 at 3:00: it does not run before it is warmed: lift both reels off"
    assert f"{warm} together; by hand, slowly, onto one reel" in told and "goes on from there" not in told
    assert there("load", "C1", "P-1", "--because", "it sheds").status == 0
    assert "P-1 lies on both reels" not in there("tonight").out
    clock.at += timedelta(hours=9)
    assert there("chamber", "--out", "P-1").status == 0
    assert "P-1 lies on both reels" not in there("tonight").out
