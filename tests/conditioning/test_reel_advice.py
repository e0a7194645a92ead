"""The decision table asked for reels of a shelf: only ever stricter than the planner's own rules."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction
from itertools import chain, combinations, product

import pytest

from core.conditioning.chamber_log import ChamberLog, Member
from core.conditioning.reel_advice import advise_reel, known_of, stricter_bar
from core.quantities import Quantity
from core.reels.needs import barred, needs_conditioning, never_heat
from core.reels.reel import BASES, CONDITIONS, Reel
from core.studio.studio import Studio
from core.tape.stocks import Stock

Make = Callable[..., Reel]
STOCKS = ("", "Ampex 456", "3M 206", "Sony PR-150", "Scotch 111", "Scotch 176", "nobody's 1", "Shamrock 031")


def test_what_the_planner_may_warm_is_warmed_or_left_out_and_nothing_else_is(
    reel: Make, studio: Studio, now: datetime
) -> None:
    words = CONDITIONS[:-1]
    seen = chain.from_iterable(combinations(words, count) for count in range(4))
    days = (None, now - timedelta(days=3), now - timedelta(days=30))
    warmed = 0
    for condition, base, stock, stage, taken_out in product(
        [(), ("ok",), *filter(None, seen)],
        ("", *BASES),
        STOCKS,
        ("identified", "conditioned", "transferred"),
        days,
    ):
        one = reel(condition=condition, base=base, stock=stock, stage=stage, conditioned_at=taken_out)
        advice = advise_reel(one, studio, now)
        if advice.action == "condition":
            warmed += 1
            assert never_heat(one) is None
            assert needs_conditioning(one, studio, now) or one.past("transferred")
        looked_at = condition or one.past("conditioned")
        if looked_at and needs_conditioning(one, studio, now) and barred(one, studio, now) is None:
            assert advice.action == "condition" or stricter_bar(one, studio, now)
    assert warmed > 100


def test_the_table_adds_bars_and_takes_none_away(reel: Make, studio: Studio, now: datetime) -> None:
    for condition, base in product((("vinegar",), ("mould",), ("squeal",)), ("", *BASES)):
        one = reel(condition=condition, base=base)
        assert barred(one, studio, now)
        assert stricter_bar(one, studio, now)


def test_a_well_reel_is_left_out_by_neither(reel: Make, studio: Studio, now: datetime) -> None:
    for stock, base in product(STOCKS, ("", *BASES)):
        one = reel(stock=stock, base=base)
        if barred(one, studio, now) is None:
            assert stricter_bar(one, studio, now) is None or needs_conditioning(one, studio, now)


def test_a_stock_that_heat_does_not_help_is_left_out_when_sticky(
    reel: Make, studio: Studio, now: datetime
) -> None:
    # ARSC list, January 2016
    one = reel(stock="Scotch 175", base="polyester", condition=("sticky",))
    assert barred(one, studio, now) is None
    assert "heat does not help" in str(stricter_bar(one, studio, now))


def test_two_treatments_after_which_it_stopped_bar_a_third(reel: Make, studio: Studio, now: datetime) -> None:
    one = reel(stock="456", base="polyester", condition=("sticky",))
    load = ChamberLog("C1", now, (Member("R-1", Fraction(8), now, behaved="stopped"),))
    assert stricter_bar(one, studio, now, loads=[load]) is None
    assert "two treatments" in str(stricter_bar(one, studio, now, loads=[load, load]))


def test_the_studios_own_treatment_is_what_is_advised(reel: Make, studio: Studio, now: datetime) -> None:
    quarter = Quantity("1/4 in", Fraction(1, 4))
    advice = advise_reel(reel(stock="456", width=quarter, condition=("sticky",)), studio, now)
    assert advice.programme is not None
    assert (advice.programme.hours, advice.programme.cool_hours, advice.programme.celsius) == (4, 4, 54)


def test_hours_of_its_own_stand_in_place_of_its_widths(reel: Make, studio: Studio, now: datetime) -> None:
    own = Quantity("12 h", Fraction(12))
    advice = advise_reel(reel(stock="456", condition=("sticky",), treatment_hours=own), studio, now)
    assert advice.programme is not None
    assert advice.programme.hours == 12


def test_a_treatment_above_the_hard_stop_warms_nobody(reel: Make, studio: Studio, now: datetime) -> None:
    hot = tuple(replace(one, temperature=Quantity("75 degC", Fraction(75))) for one in studio.treatments)
    advice = advise_reel(reel(stock="456", condition=("sticky",)), replace(studio, treatments=hot), now)
    assert advice.action != "condition"
    assert "60 °C" in str(advice.barred_by)


def test_the_owners_row_takes_a_stock_off_the_list(reel: Make, studio: Studio, now: datetime) -> None:
    own = {"Ampex 456": Stock("456", ("Ampex",), sticky="no", base="polyester")}
    assert advise_reel(reel(stock="456"), studio, now).action == "condition"
    assert advise_reel(reel(stock="456"), studio, now, own).action == "play as it is"


def test_columns_of_the_owners_own_are_read(reel: Make, studio: Studio, now: datetime) -> None:
    extra = (
        ("Back_Coat", "Yes"),
        ("year", "about 1979"),
        ("storage", "damp"),
        ("signs", "white powder; odd"),
    )
    found = known_of(reel(extra=extra), studio, now)
    assert (found.back_coat, found.year, found.storage) == ("yes", 1979, "damp")
    assert found.symptoms == {"white powder"}


def test_nonsense_in_such_columns_is_not_known(reel: Make, studio: Studio, now: datetime) -> None:
    found = known_of(reel(extra=(("back_coat", "shiny"), ("year", "19x"), ("storage", "attic"))), studio, now)
    assert (found.back_coat, found.year, found.storage) == ("unknown", None, "unknown")


@pytest.mark.parametrize("stage", ["transferred", "verified"])
def test_a_tape_whose_sound_is_safe_is_left_out_of_nothing(
    stage: str, reel: Make, studio: Studio, now: datetime
) -> None:
    assert stricter_bar(reel(stage=stage, condition=("mould",)), studio, now) is None
