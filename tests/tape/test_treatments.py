"""Programmes of warming as published, side by side."""

from fractions import Fraction

import pytest

from core.tape.tables import table
from core.tape.treatments import (
    celsius,
    fahrenheit,
    house_programme,
    programme,
    published,
    published_hours,
    temperature_trouble,
)
from core.tape.where import figure


# IASA-TC 04 (digest), UNESCO 1997, ARSC Journal 2010, ARSC list 2006 and 2013, EQ magazine 1998, 2008, 2022.
@pytest.mark.parametrize(
    ("key", "told"),
    [
        ("iasa", {"low_c": 50, "high_c": 50, "hours_low": 8, "hours_high": 12}),
        ("maker-1997", {"low_c": 45, "high_c": 55, "hours_low": 6, "hours_high": 8}),
        ("maker-1997", {"playable_days_low": 7, "playable_days": 14}),
        ("maker-1997-wide", {"hours_high": 36}),
        ("survey-2010", {"low_c": 51.7, "high_c": 57.2, "hours_low": 1, "hours_high": 8}),
        ("loc-before-1975", {"high_c": 54.4, "hours_high": 8, "cool_hours": 8}),
        ("loc-since-1975", {"high_c": 54.4, "hours_high": 5, "cool_hours": 5}),
        ("arsc-2013", {"hours_low": 8, "playable_days": 30}),
        ("trade-1998", {"hours_low": 6, "hours_high": 8}),
        ("trade-2022", {"hours_low": 24, "hours_high": 72}),
        ("home-2008", {"hours_high": 2, "turn_hours": 0.5, "cool_hours": 2}),
        ("list-2000", {"hours_high": 15}),
        ("data-tape", {"high_c": 50, "hours_high": 24}),
        ("incubator", {"hours_high": 96}),
    ],
)
def test_a_published_programme(key: str, told: dict[str, float]) -> None:
    assert told.items() <= table("treatments")[key].values.items()


# Arithmetic; the maker's pairs are 45 °C with 113 °F and 55 with 131.
@pytest.mark.parametrize(
    ("f", "c"), [(130, 54.4), (125, 51.7), (135, 57.2), (113, 45), (131, 55), (120, 48.9)]
)
def test_degrees(f: float, c: float) -> None:
    assert celsius(f) == pytest.approx(c, abs=0.06)
    assert fahrenheit(celsius(f)) == pytest.approx(f)


def test_one_inch_has_eight_hours_and_a_quarter_inch_less() -> None:
    # common practice
    inch, quarter = house_programme(1), house_programme(Fraction(1, 4))
    assert inch is not None
    assert quarter is not None
    assert (inch.hours, inch.turn_hours) == (8, 2)
    assert quarter.hours < inch.hours
    assert fahrenheit(inch.celsius) == pytest.approx(130, abs=0.2)


def test_every_house_figure_lies_inside_what_is_published() -> None:
    for row in table("treatments").values():
        if not row.values.get("house"):
            continue
        width = row.values["widths"][0]
        found = published_hours(width)
        assert found is not None
        assert found[0] <= row.values["hours"] <= found[1]
        assert temperature_trouble(row.values["high_c"]) is None


def test_a_width_that_nobody_speaks_of_has_no_programme() -> None:
    assert house_programme(3) is None
    assert published_hours(3) is None
    assert published(3)  # programmes for any width


@pytest.mark.parametrize(
    ("degrees", "word"),
    [(50, None), (54.4, None), (40, "below"), (57, "above"), (60.5, "refused"), (75, "harmed")],
)
def test_set_points(degrees: float, word: str | None) -> None:
    said = temperature_trouble(degrees)
    assert said is None if word is None else word in str(said)


@pytest.mark.parametrize("bad", [{"hours": 0}, {"turn_hours": 0}, {"cool_hours": -1}, {"playable_days": -1}])
def test_a_programme_that_makes_no_sense_is_refused(bad: dict[str, int]) -> None:
    with pytest.raises(ValueError):
        programme(54, bad.pop("hours", 8), **bad)


def test_limits_stay_under_the_hard_stop() -> None:
    assert programme(59, 8).high_c == 60
    assert (programme(54, 8).low_c, programme(54, 8).high_c) == (52, 56)


# Set points 45 to 55 °C: UNESCO RAMP study, 1997, with the maker's statement; harm above 70 °C: ARSC list,
# May 2004; playable one to two weeks: the maker, 1997. The others are common practice of the trade.
@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("band_low_c", 45), ("band_high_c", 55), ("hard_stop_c", 60), ("harm_c", 70), ("least_set_c", 30),
        ("reading_band_c", 2), ("settle_hours", 1), ("turn_hours", 2), ("turn_late_minutes", 30),
        ("touch_late_minutes", 15), ("second_failure", 2), ("playable_days", 14), ("resume_minutes", 60),
        ("trial_spread_c", 4), ("weight_settled_share", 0.001), ("playable_days_most", 31),
    ],
)  # fmt: skip
def test_a_figure_of_heat_is_as_it_is_published_or_practised(key: str, value: float) -> None:
    assert figure(f"heat.{key}") == value
