"""Common practice of the trade that the program reproduces, each as it is worked. No source settles these."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

import pytest

from core.conditioning.advice import advise
from core.conditioning.advisor import advice_of
from core.conditioning.known import Known
from core.conditioning.load_state import load_state
from core.conditioning.loads.chamber_flags import turns_due
from core.conditioning.loads.kept_loads import loads_of
from core.conditioning.loads.places import first_places, turned
from core.evening.mark import mark
from core.evening.warming.load import load
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.gates import ready_to_play
from core.studio.studio import Studio
from core.tape.cautions import cautions
from core.tape.treatments import fahrenheit, house_programme
from core.tape.where import figure

Make = Callable[..., Reel]


@pytest.fixture
def warm(studio: Studio, reel: Make, now: datetime) -> Shelf:
    """A 1-inch and a quarter-inch reel, both sticky, in one load."""
    wide = reel(key="R-1", stock="Ampex 456", condition=("sticky",), eq="NAB")
    narrow = replace(wide, key="R-2", width=studio.treatments[1].width)
    return load(Shelf(studio).with_reel(wide, narrow), "C1", ["R-1", "R-2"], now)


def test_one_inch_is_warmed_for_eight_hours_at_about_130_fahrenheit() -> None:
    house = house_programme(1)
    assert house is not None
    assert house.hours == 8
    assert fahrenheit(house.celsius) == pytest.approx(130, abs=0.5)


def test_it_is_turned_and_moved_to_another_place_every_two_hours(warm: Shelf, now: datetime) -> None:
    (log,) = loads_of(warm).values()
    course = load_state(warm, next(iter(loads_of(warm))), now).programme
    assert course is not None
    two = timedelta(hours=2)
    assert turns_due(log, course, now + timedelta(days=1)) == (now + two, now + 2 * two, now + 3 * two)
    before = first_places(6, {"R-1": 2, "R-2": 1})
    after = turned(6, before)
    for key, place in before.items():
        assert after[key].lowest != place.lowest
        assert after[key].side != place.side


def test_a_quarter_inch_reel_needs_less_and_comes_out_sooner(warm: Shelf, now: datetime) -> None:
    wide, narrow = load_state(warm, next(iter(loads_of(warm))), now).members
    assert narrow.due is not None and wide.due is not None
    assert narrow.due < wide.due
    quarter, inch = house_programme(Fraction(1, 4)), house_programme(1)
    assert quarter is not None and inch is not None and quarter.hours < inch.hours


def test_the_lowest_place_over_a_fan_motor_is_left_empty() -> None:
    places = first_places(6, {"R-1": 2, "R-2": 1})
    for _ in range(6):
        assert min(place.lowest for place in places.values()) > 1
        places = turned(6, places)
    assert "over a fan motor" in figure("heat.empty_place")


def test_a_reel_cools_before_it_is_played(warm: Shelf, now: datetime) -> None:
    out = mark(warm, "R-1", "conditioned", now + timedelta(hours=8))
    assert "cool" in (ready_to_play(out, out.reel("R-1"), now + timedelta(hours=9)) or "")
    assert "cool" not in (ready_to_play(out, out.reel("R-1"), now + timedelta(hours=16)) or "")
    house = house_programme(1)
    assert house is not None and house.cool_hours == house.hours


def test_joints_may_let_go_after_warming(warm: Shelf, now: datetime) -> None:
    spliced = warm.with_reel(replace(warm.reel("R-1"), chamber="", loaded_at=None, splices=3))
    advice = advice_of(spliced, spliced.reel("R-1"), now)
    assert advice.splices == "after it is warmed"
    assert any("joints let go" in reason.says for reason in advice.reasons)
    assert any("joints let go" in one.hazard for one in cautions("condition"))


def test_reels_are_stored_tails_out(warm: Shelf, reel: Make, now: datetime) -> None:
    well = Shelf(warm.studio).with_reel(reel(key="R-3", eq="NAB", wind="heads", stage="aligned"))
    done = mark(well, "R-3", "transferred", now, because="played")
    assert done.reel("R-3").wind == "tails"


def test_calibration_tapes_get_sticky_like_any_other(studio: Studio, reel: Make, now: datetime) -> None:
    cal = reel(key="CAL-1", role="calibration", stock="Ampex 456")
    shelf = Shelf(studio).with_reel(cal)
    assert advice_of(shelf, shelf.reel("CAL-1"), now).word == "warm"
    assert load(shelf, "C1", ["CAL-1"], now).reel("CAL-1").chamber == "C1"


def test_only_what_was_held_to_the_light_is_warmed() -> None:
    course = house_programme(1)
    advice = advise(Known(base="unknown", symptoms=frozenset({"sticky"})), course)
    assert advice.word == "look first" and advice.test is not None
    assert "light" in advice.test.what.lower()
