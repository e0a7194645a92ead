"""Advice in sentences."""

from fractions import Fraction

from core.conditioning.advice import advise
from core.conditioning.known import Known
from core.conditioning.tell import advice_lines
from core.tape.treatments import programme


def test_a_treatment_says_degrees_hours_and_how_often_it_was_had() -> None:
    known = Known(base="polyester", stock="yes", symptoms=frozenset({"sticky", "splices"}), treated=1)
    said = " ".join(advice_lines(advise(known, programme(54, 8)), sources=True))
    assert "54 °C (129 °F) for 8 h, turned every 2 h; cool 8 h, then playable 14 days." in said
    assert "treated once before" in said
    assert "remade after it is warmed" in said
    assert "; verified" in said


def test_a_test_says_what_it_tells_and_what_is_not_known() -> None:
    said = " ".join(advice_lines(advise(Known(symptoms=frozenset({"sticky"})), programme(54, Fraction(8)))))
    assert "Cheapest test (1 min): hold the pack to the light" in said
    assert "Not known: base" in said
    assert "Left out of the plan" in said
