"""What a figure may be off by, carried through."""

import math

import pytest

from core.tape.physics.length import length_from_pack
from core.tape.uncertain import Uncertain, through


def test_sums_add_as_squares() -> None:
    # law of propagation for independent errors: 3 and 4 give 5
    total = through(lambda a, b: a + b, Uncertain(10, 3), Uncertain(20, 4))
    assert (total.value, total.give) == (30, pytest.approx(5))


def test_products_add_their_percents_as_squares() -> None:
    product = through(lambda a, b: a * b, Uncertain(100, 1), Uncertain(50, 0.5))
    assert product.percent == pytest.approx(math.sqrt(2), abs=1e-6)


def test_a_figure_that_is_sure_stays_sure() -> None:
    assert through(lambda a: a * 2, Uncertain(4)).give == 0


def test_half_a_millimetre_and_two_percent_of_thickness_on_a_pack() -> None:
    # by hand: dL/dD = πD/2t; 0.02 in at 10 in of 2 mil is 157 in, the hub's 70.7 in, 2 % of t is 626 in
    found = through(length_from_pack, Uncertain(10, 0.02), Uncertain(4.5, 0.02), Uncertain(2, 0.04))
    assert found.value / 12 == pytest.approx(2609.8, abs=0.1)
    assert found.give == pytest.approx(math.sqrt(157.1**2 + 70.7**2 + 626.4**2), rel=0.001)
    assert found.low < found.value < found.high


@pytest.mark.parametrize(("value", "give"), [(math.nan, 0), (1, -1), (1, math.inf)])
def test_no_figure_is_refused(value: float, give: float) -> None:
    with pytest.raises(ValueError):
        Uncertain(value, give)
