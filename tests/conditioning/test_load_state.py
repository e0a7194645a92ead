"""How a load stands at a moment."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

import pytest

from core.conditioning.load_state import load_state, newest_load
from core.conditioning.loads.degrees import Degrees, degrees_of
from core.conditioning.loads.limits import Limits
from core.conditioning.on_shelf import log_reading, log_trial, log_turn
from core.errors import Refused
from core.evening.mark import mark
from core.evening.warming.load import load
from core.evening.warming.load_broken import break_off
from core.lineup.tolerance import Tolerances
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.studio import Studio
from core.tape.where import FOLLOWED

Make = Callable[..., Reel]


@pytest.fixture
def warm(studio: Studio, reel: Make, now: datetime) -> Shelf:
    """A 1-inch reel (8 h) and a quarter-inch one (4 h) in one load since 19:00."""
    wide = reel(key="R-1", stock="Ampex 456", condition=("sticky",), box_label="Low Tide")
    narrow = replace(wide, key="R-2", width=studio.treatments[1].width)
    return load(Shelf(studio).with_reel(wide, narrow), "C1", ["R-1", "R-2"], now)


def hours(now: datetime, number: float) -> datetime:
    return now + timedelta(hours=number)


def test_a_load_that_runs_tells_hours_turns_and_what_is_wrong(warm: Shelf, now: datetime) -> None:
    key = newest_load(warm, "C1") or ""
    warm = log_turn(log_reading(warm, key, hours(now, 1.5), 57), key, hours(now, 2))
    told = load_state(warm, key, hours(now, 4.25))
    # Common practice: turned every two hours; a quarter-inch reel comes out sooner than a 1-inch one.
    assert [turn.state for turn in told.turns] == ["done", "due", "ahead"]
    assert [one.due for one in told.members] == [hours(now, 8), hours(now, 4)]
    assert [one.had for one in told.members] == [Fraction(17, 4)] * 2
    assert [flag.kind for flag in told.flags] == ["over"]
    assert (told.state, told.members[0].box) == ("runs", "Low Tide")
    assert [turn.state for turn in load_state(warm, key, hours(now, 4.75)).turns][1] == "missed"


def test_after_take_out_it_tells_cooling_and_playable_days_left(warm: Shelf, now: datetime) -> None:
    key = newest_load(warm) or ""
    out = mark(mark(warm, "R-2", "conditioned", hours(now, 4)), "R-1", "conditioned", hours(now, 8))
    told = load_state(out, key, hours(now, 8 + 48))
    assert told.state == "over"
    wide, narrow = told.members
    # studio: 1 in cools 8 h, 1/4 in 4 h; both are playable for 14 days.
    assert (wide.cool_until, narrow.cool_until) == (hours(now, 16), hours(now, 8))
    assert wide.days_left == 12
    assert narrow.days_left == 14 - Fraction(52, 24)
    assert (wide.had, narrow.had) == (8, 4)


def test_a_load_broken_off_tells_the_hours_it_had_and_the_next_step(warm: Shelf, now: datetime) -> None:
    key = newest_load(warm) or ""
    off = break_off(warm, key, hours(now, 3), "power")
    soon, late = load_state(off, key, hours(now, 3.5)), load_state(off, key, hours(now, 30))
    assert soon.state == late.state == "broken off"
    assert (soon.may_go_on, late.may_go_on) == (True, False)
    assert soon.members[0].next == "R-1 had 3 h of 8 h: still warm, give it the 5 h that are left"
    assert "the whole 8 h again" in late.members[0].next
    assert late.members[0].days_left is None


def test_an_empty_run_is_judged_by_two_places(warm: Shelf, now: datetime) -> None:
    tried = log_trial(Shelf(warm.studio), "C1", now, 54)
    key = newest_load(tried) or ""
    assert "second thermometer" in load_state(tried, key, now).verdict[0]
    for place, warmth in (("top", 54), ("bottom", 52.5)):
        tried = log_reading(tried, key, hours(now, 2), warmth, place)
    told = load_state(tried, key, hours(now, 3))
    assert (told.state, told.verdict, told.turns) == ("empty run", (), ())


def test_heat_in_the_unit_that_was_chosen(warm: Shelf, now: datetime) -> None:
    key = newest_load(warm) or ""
    chosen = warm.choosing("units", {"temperature": "degF"})
    chosen = log_reading(chosen, key, hours(now, 2), degrees_of(chosen).read("140"))
    (flag,) = load_state(chosen, key, hours(now, 2)).flags
    # 140 °F are 60 °C, by definition of the scale.
    assert (flag.kind, flag.says.partition(":")[0]) == ("hard stop", "140 °F")
    assert Degrees().read("130 degF") == pytest.approx(54.444, abs=0.001)
    assert Degrees().both(54) == "54 °C (129.2 °F)"
    with pytest.raises(ValueError, match="54 degC"):
        Degrees().read("warm")


def test_a_load_that_nobody_knows_is_refused(warm: Shelf, now: datetime) -> None:
    with pytest.raises(Refused):
        load_state(warm, "C7 never", now)
    assert newest_load(Shelf(warm.studio)) is None


def test_the_owners_limits_are_followed_and_none_lifts_the_hard_stop(warm: Shelf, now: datetime) -> None:
    key = newest_load(warm) or ""
    read = log_reading(warm, key, hours(now, 2), 57)
    wider = {"heat.reading_band_c": {"value": 4}, "heat.hard_stop_c": {"value": 90}}
    own = read.choosing("figures", wider)
    assert [flag.kind for flag in load_state(read, key, hours(now, 2)).flags] == ["over"]
    assert load_state(own, key, hours(now, 2)).flags == ()
    hot = log_reading(own, key, hours(now, 2), 61)
    assert [flag.kind for flag in load_state(hot, key, hours(now, 2)).flags] == ["hard stop"]


def test_what_is_followed_is_what_limits_and_tolerances_hold() -> None:
    names = [f"heat.{name}" for name in Limits.__slots__] + [
        f"lineup.{name}" for name in Tolerances.__slots__
    ]
    assert sorted(names) == sorted(FOLLOWED)
