"""Two names of one thing are one thing: nominal speeds, widths, equalisations and levels.

Speeds in cm/s: as catalogues round them, 1 in = 2.54 cm exactly (ISO 80000-3). Equalisations: IEC 60094-1
and the table of IASA TC-04, 5.4 (IEC1 is CCIR, IEC2 is NAB at 15 ips; at 30 ips IEC2 is AES). Widths:
IEC 60094-1 has them.
"""

from fractions import Fraction

import pytest

from core.quantities import read_quantity
from core.studio.setup import Setup, width_key
from core.tape.nominal import known_curve, nominal_ips, one_equalisation


@pytest.mark.parametrize("typed", ["15 ips", "38 cm/s", "38.1 cm/s", "0.381 m/s"])
def test_a_speed_is_the_nominal_one(typed):
    assert nominal_ips(read_quantity(typed, "speed").number) == 15


@pytest.mark.parametrize(
    ("typed", "inches"),
    [("6.3 mm", "1/4"), ("6.25 mm", "1/4"), ("12.7 mm", "1/2"), ("50 mm", "2"), ("1 in", "1")],
)
def test_a_width_is_the_nominal_one(typed, inches):
    assert width_key(read_quantity(typed, "length")) == Fraction(inches)


def test_what_is_near_nothing_is_itself():
    assert nominal_ips(Fraction(16)) == 16
    assert width_key(read_quantity("8 mm", "length")) == read_quantity("8 mm", "length").number


@pytest.mark.parametrize(
    ("one", "other", "ips"), [("IEC1", "CCIR", 15), ("nab", "IEC2", 15), ("AES", "iec 2", 30)]
)
def test_names_that_the_table_lists_together_are_one(one, other, ips):
    assert one_equalisation(one, ips) == one_equalisation(other, ips)
    assert known_curve(one, ips)


@pytest.mark.parametrize(
    ("one", "other", "ips"), [("NAB", "IEC2", 30), ("DIN", "IEC1", 7.5), ("NAB", "CCIR", 15)]
)
def test_names_of_other_curves_stay_apart(one, other, ips):
    assert one_equalisation(one, ips) != one_equalisation(other, ips)


def test_set_ups_are_compared_as_what_they_stand_for():
    def setup(speed, eq, level, reduction=""):
        return Setup(read_quantity(speed, "speed"), eq, read_quantity(level, "flux"), reduction)

    assert setup("15 ips", "IEC1", "250 nWb/m").key == setup("38 cm/s", " ccir ", "250.0 nWb/m", "None").key
    assert setup("15 ips", "IEC1", "250 nWb/m").key != setup("15 ips", "IEC1", "320 nWb/m").key
    assert setup("15 ips", "IEC1", "250 nWb/m").key != setup("15 ips", "", "250 nWb/m").key
    blank = Setup(read_quantity("15 ips", "speed"))
    assert (
        blank.filled("CCIR", read_quantity("250 pWb/mm", "flux")).key
        == setup("15 ips", "IEC1", "250 nWb/m").key
    )
