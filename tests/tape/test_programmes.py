"""Every programme of warmth and every level of acid strips, read a second time from what is published."""

from typing import Any

import pytest

from core.tape.tables import table

QUARTER, HALF, INCH, TWO = 0.25, 0.5, 1.0, 2.0
HOUSE = {"house": True, "low_c": 54.4, "high_c": 54.4, "turn_hours": 2, "playable_days": 14}
#: Widths, then the figures. IASA-TC 04, 5.4.3 (digest); the maker's statement in the UNESCO RAMP study, 1997;
#: ARSC Journal, 2010; ARSC list, June 2006, July 2013, December 2015, September 2017; a trade magazine, 1998,
#: 2008 and 2022; AV Media Matters list, May 2000 and January 2001; a note on data tape in a dry box; the page
#: of a studio with an incubator. The house rows are common practice of the trade; CLIR 54 is from memory.
PROGRAMMES: dict[str, tuple[tuple[float, ...], dict[str, Any]]] = {
    "house-quarter": ((QUARTER,), HOUSE | {"hours_low": 4, "hours": 6, "hours_high": 8, "cool_hours": 6}),
    "house-half": ((HALF,), HOUSE | {"hours_low": 8, "hours": 8, "hours_high": 36, "cool_hours": 8}),
    "house-inch": ((INCH,), HOUSE | {"hours_low": 8, "hours": 8, "hours_high": 36, "cool_hours": 8}),
    "house-two": ((TWO,), HOUSE | {"hours_low": 8, "hours": 24, "hours_high": 72, "cool_hours": 24}),
    "iasa": ((), {
        "low_c": 50, "high_c": 50, "hours_low": 8, "hours_high": 12, "humidity": "0 % RH, laboratory oven",
    }),
    "maker-1997": ((QUARTER,), {
        "low_c": 45, "high_c": 55, "hours_low": 6, "hours_high": 8, "playable_days_low": 7,
        "playable_days": 14,
    }),
    "maker-1997-wide": ((HALF, INCH, TWO), {
        "low_c": 45, "high_c": 55, "hours_high": 36, "playable_days_low": 7, "playable_days": 14,
    }),
    "survey-2010": ((QUARTER,), {"low_c": 51.7, "high_c": 57.2, "hours_low": 1, "hours_high": 8}),
    "loc-before-1975": ((QUARTER,), {
        "low_c": 54.4, "high_c": 54.4, "hours_low": 8, "hours_high": 8, "cool_hours": 8,
    }),
    "loc-since-1975": ((QUARTER,), {
        "low_c": 54.4, "high_c": 54.4, "hours_low": 5, "hours_high": 5, "cool_hours": 5,
    }),
    "loc-vault": ((), {"hours_low": 8, "hours_high": 8}),
    "width-arithmetic": ((TWO,), {"low_c": 54.4, "high_c": 54.4, "hours_low": 40, "hours_high": 64}),
    "arsc-2013": ((), {"low_c": 48.9, "high_c": 48.9, "hours_low": 8, "playable_days": 30}),
    "trade-1998": ((TWO,), {"hours_low": 6, "hours_high": 8}),
    "trade-2022": ((QUARTER, HALF, INCH, TWO), {
        "low_c": 54.4, "high_c": 55, "hours_low": 24, "hours_high": 72,
    }),
    "trade-2022-bad-pack": ((), {"low_c": 48.9, "high_c": 51.7, "hours_low": 24}),
    "home-2008": ((QUARTER,), {
        "low_c": 48.9, "high_c": 57.2, "hours_low": 2, "hours_high": 2, "turn_hours": 0.5, "cool_hours": 2,
    }),
    "laboratory-2001": ((), {"low_c": 52, "high_c": 53}),
    "list-2000": ((QUARTER,), {"low_c": 46.1, "high_c": 46.1, "hours_low": 15, "hours_high": 15}),
    "data-tape": ((HALF,), {
        "low_c": 50, "high_c": 50, "hours_low": 24, "hours_high": 24,
        "humidity": "below 10 % RH, much moving air",
    }),
    "incubator": ((), {"hours_high": 96, "playable_days": 30}),
    "dry-cold": ((), {"low_c": 20, "high_c": 20, "hours_low": 8760, "humidity": "20 % RH or less"}),
    "clir": ((), {"low_c": 50, "high_c": 50, "hours_low": 72, "hours_high": 72}),
}  # fmt: skip
#: IPI user's guide for acid-detecting strips, 2001, made for film; the middle level's number is from memory.
STRIPS = {
    "level-0": (0, "blue", "good", "cool or cold storage"),
    "level-1": (1, "blue-green", "starting", "cold storage, watch closely"),
    "level-1_5": (1.5, "green", "rapid decay starts", "cold storage or freeze"),
    "level-2": (2, "green-yellow", "actively degrading", "freeze, copying advisable"),
    "level-3": (3, "yellow", "critical", "freeze, copy at once"),
}


@pytest.mark.parametrize("key", PROGRAMMES)
def test_a_programme_has_its_widths_and_figures_and_no_other(key: str) -> None:
    widths, figures = PROGRAMMES[key]
    values = dict(table("treatments")[key].values)
    assert values.pop("who")
    assert tuple(values.pop("widths")) == widths
    assert values == figures


def test_no_programme_stands_there_that_was_not_read_twice() -> None:
    assert list(table("treatments")) == list(PROGRAMMES)


def test_the_levels_of_acid_strips_by_colour() -> None:
    rows = {key: row.values for key, row in table("strips").items()}
    assert list(rows) == list(STRIPS)
    for key, (level, colour, means, does) in STRIPS.items():
        told = rows[key]
        assert (told["level"], told["colour"], told["do"]) == (level, colour, does)
        assert means in told["means"]
