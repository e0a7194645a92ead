"""A load of what waits for no warmth: treated, half played, captured. Each is asked about first."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from alarmshelf import ROW, STEP, Clock
from doorshelf import put

TREATED = {"stock": "Ampex 456", "condition": "sticky", "conditioned_at": "2026-11-30T12:00"}
PLAYABLE = "it needs no warmth: it was warmed, and is playable until Mon 14 Dec 12:00"  # 14 days (studio)


@pytest.mark.parametrize(
    ("fields", "asks"),
    [
        (TREATED | {"stage": "conditioned"}, PLAYABLE),
        (TREATED | {"stage": "aligned"}, PLAYABLE),
        (TREATED | {"stage": "conditioned", "conditioned_at": ""}, "its warmth rests on your word"),
        (TREATED | {"stage": "transferred", "conditioned_at": "2026-11-01T12:00"}, "it is transferred"),
        (TREATED | {"stage": "verified", "conditioned_at": ""}, "it is transferred"),
        ({"stage": "identified"}, "it needs no warmth"),
    ],
)
def test_what_waits_for_no_warmth_goes_in_for_a_reason_only(
    there: Any, clock: Clock, fields: dict[str, str], asks: str
) -> None:
    assert put(there, [ROW | fields | {"reel": "T-1"}]).status == 0
    refused = there("load", "C1", "T-1")
    assert refused.status == 1 and asks in refused.err
    assert there("load", "C1", "T-1", "--because", "it clings again").status == 0


def test_a_sticky_tape_that_lapsed_goes_in_without_one(there: Any, clock: Clock) -> None:
    lapsed = TREATED | {"stage": "conditioned", "conditioned_at": "2026-11-01T12:00"}
    assert put(there, [ROW | lapsed | {"reel": "T-1"}]).status == 0
    assert there("load", "C1", "T-1").status == 0


def test_a_half_played_tape_is_asked_about_while_it_lies_on_its_deck(there: Any, clock: Clock) -> None:
    assert (
        put(there, [ROW | TREATED | {"reel": "T-1", "stage": "conditioned", "length": "300 ft"}]).status == 0
    )
    assert there("plan", "--effort", "0.1").status == 0
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    assert there("tonight", "begin", "transfer T-1").status == 0
    clock.at += timedelta(minutes=3)
    assert "it is playing: end its pass first" in there("load", "C1", "T-1", "--because", "x").err
    assert there("tonight", "stop").status == 0
    clock.at += timedelta(minutes=1)
    asked = there("load", "C1", "T-1")
    assert asked.status == 1 and PLAYABLE in asked.err


def test_what_lay_too_hot_or_beside_mould_goes_in_again_for_a_reason_only(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    assert there("chamber", "C1", "--read", "61 top").status == 0
    for key in ("W-1", "W-2"):
        assert there("chamber", "C1", "--out", key).status == 0
    hot = there("load", "C1", "W-1")
    assert hot.status == 1 and "W-1 lay in C1 at 61 °C" in hot.err and "C1 read 61 °C" in hot.err
    assert there("set", "W-2", "signs=mould", "condition=").status == 0
    near = there("load", "C1", "W-1")
    assert (
        near.status == 1 and "was beside W-2, which has mould" in near.err and "wipe and air it" in near.err
    )
    assert there("load", "C1", "W-1", "--because", "looked at, wiped and read").status == 0
