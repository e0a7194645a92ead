"""The decision table asked for reels of a shelf: only ever stricter than the planner's own rules."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction
from itertools import chain, combinations, product

import pytest

from core.conditioning.advisor import Advisor
from core.conditioning.loads.chamber_log import ChamberLog, Member
from core.conditioning.reel_advice import advise_reel, known_of
from core.quantities import Quantity
from core.reels.needs import needs_conditioning
from core.reels.reel import BASES, CONDITIONS, Reel
from core.studio.studio import Studio
from core.tape.stock import Stock


def barred(reel: Reel, studio: Studio, now: datetime, loads: Sequence[ChamberLog] = ()) -> str | None:
    return Advisor(studio, {}, loads).barred(reel, now)


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
        if advice.word == "warm":
            warmed += 1
            assert (advice.no_heat, one.base or "polyester") == (None, "polyester")
            assert needs_conditioning(one, studio, now) or one.past("transferred")
        looked_at = condition or one.past("conditioned")
        if looked_at and needs_conditioning(one, studio, now) and barred(one, studio, now) is None:
            assert advice.word == "warm"
    assert warmed > 100


def test_the_table_adds_bars_and_takes_none_away(reel: Make, studio: Studio, now: datetime) -> None:
    for condition, base in product((("vinegar",), ("mould",), ("squeal",)), ("", *BASES)):
        one = reel(condition=condition, base=base)
        assert barred(one, studio, now)


def test_a_stock_that_heat_does_not_help_is_left_out_when_sticky(
    reel: Make, studio: Studio, now: datetime
) -> None:
    # ARSC list, January 2016
    one = reel(stock="Scotch 175", base="polyester", condition=("sticky",))
    assert "heat does not help" in str(barred(one, studio, now))


def test_two_treatments_after_which_it_stopped_bar_a_third(reel: Make, studio: Studio, now: datetime) -> None:
    one = reel(stock="456", base="polyester", condition=("sticky",))
    load = ChamberLog("C1", now, (Member("R-1", Fraction(8), now + timedelta(hours=8), behaved="stopped"),))
    assert barred(one, studio, now, [load]) is None
    assert "2 times" in str(barred(one, studio, now, [load, load]))


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
    assert advice.no_heat is not None
    assert "60 °C" in str(advice.barred_by)


def test_the_owners_row_takes_a_stock_off_the_list(reel: Make, studio: Studio, now: datetime) -> None:
    own = {"Ampex 456": Stock("456", ("Ampex",), sticky="no", base="polyester")}
    assert advise_reel(reel(stock="456"), studio, now).word == "warm"
    assert advise_reel(reel(stock="456"), studio, now, own).word == "play"


def test_an_owners_row_that_makes_acetate_polyester_is_looked_at_before_any_heat(
    reel: Make, studio: Studio, now: datetime
) -> None:
    own = {"Scotch 111": Stock("111", ("Scotch",), sticky="yes", base="polyester", back_coat="yes")}
    told = advise_reel(reel(condition=("sticky",), base="", stock="3M 111"), studio, now, own)
    assert (told.word, told.barred_by) == (
        "look first",
        told.because,
    ) and "say acetate, not polyester" in told.because
    seen = reel(condition=("sticky",), base="", stock="3M 111", base_seen="yes")
    assert advise_reel(seen, studio, now, own).word == "warm"


def test_what_the_decision_asks_for_is_read(reel: Make, studio: Studio, now: datetime) -> None:
    told = {"back_coat": "yes", "year": "about 1979", "storage": "a damp cellar", "signs": ("white powder",)}
    found = known_of(reel(**told), studio, now)
    assert (found.back_coat, found.year, found.storage) == ("yes", 1979, "damp")
    assert found.symptoms == {"white powder"}


@pytest.mark.parametrize("stage", ["transferred", "verified"])
def test_a_tape_whose_sound_is_safe_is_left_out_of_nothing(
    stage: str, reel: Make, studio: Studio, now: datetime
) -> None:
    assert barred(reel(stage=stage, condition=("mould",)), studio, now) is None
