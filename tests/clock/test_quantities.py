"""Typed quantities, checked against Pint's full registry (a general units library) and the exact inch.

1 in = 25.4 mm exactly (international inch, 1959).
"""

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.quantities import in_unit, plain, read_quantity


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry()


@pytest.mark.parametrize(
    ("typed", "kind", "unit", "number"),
    [
        ("7 1/2 ips", "speed", "inch/second", "15/2"),
        ("7½ ips", "speed", "inch/second", "15/2"),
        ("15/16 ips", "speed", "inch/second", "15/16"),
        ("38,1 cm/s", "speed", "inch/second", "15"),
        ("19.05 cm/s", "speed", "inch/second", "15/2"),
        ("762 m", "length", "inch", "30000"),
        ("2500 FT", "length", "inch", "30000"),
        ("1.5 mil", "length", "inch", "3/2000"),
        ("50.8 µm", "length", "inch", "1/500"),
        ('1/4"', "length", "inch", "1/4"),
        ("1h30", "time", "hour", "3/2"),
        ("90 min", "time", "hour", "3/2"),
        ("96 kHz", "frequency", "hertz", "96000"),
        ("122 degF", "temperature", "degC", "50"),
        ("-40 degF", "temperature", "degC", "-40"),
    ],
)
def test_typed_quantities_are_read_exactly(typed, kind, unit, number):
    assert read_quantity(typed, kind).number == Fraction(number)


@pytest.mark.parametrize(
    ("word", "unit"),
    [("ft", "foot"), ("m", "meter"), ("cm", "centimeter"), ("mil", "thou"), ("um", "micrometer")],
)
@given(amount=st.decimals(0, 5000, places=3))
def test_lengths_agree_with_a_units_library(registry, word, unit, amount):
    ours = read_quantity(f"{amount} {word}", "length").number
    assert float(ours) == pytest.approx(
        registry.Quantity(float(amount), unit).m_as("inch"), rel=1e-9, abs=1e-12
    )


@given(amount=st.decimals(-40, 200, places=1))
def test_fahrenheit_agrees_with_a_units_library(registry, amount):
    ours = read_quantity(f"{amount} degF", "temperature").number
    assert float(ours) == pytest.approx(registry.Quantity(float(amount), "degF").m_as("degC"), abs=1e-6)


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("15", "speed"),
        ("15 in", "speed"),
        ("7 ips ips", "speed"),
        ("2500 kg", "length"),
        ("9**9**9**9 ft", "length"),
        ("1/0 in", "length"),
        ("-3 ft", "length"),
        ("54 C 3", "temperature"),
        ("nan ft", "length"),
        ("", "time"),
        ("1e9 ft", "length"),
        ("x" * 500, "length"),
    ],
)
def test_a_nonsense_unit_is_refused_with_what_would_be_right(typed, kind):
    with pytest.raises(ValueError, match="such as"):
        read_quantity(typed, kind)


def test_a_quantity_is_shown_in_the_unit_that_the_person_chose():
    assert in_unit(read_quantity("2500 ft", "length"), "length", "m") == 762
    assert plain(in_unit(read_quantity("54 degC", "temperature"), "temperature", "degF")) == "129.2"


@given(st.text(max_size=30))
def test_no_text_breaks_the_reader(text):
    for kind in ("length", "speed", "flux", "temperature", "time", "frequency"):
        try:
            assert read_quantity(text, kind).number is not None
        except ValueError as refusal:
            assert "such as" in str(refusal)
