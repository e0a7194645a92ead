"""Lengths from packs and reels, both ways, against geometry and published lengths."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.tape.physics.length import (
    layers,
    length_from_pack,
    length_from_reel,
    pack_for_length,
    spiral_length,
    thickness_row,
    total_thickness_mil,
)

MM = 1 / 25.4


# Geometry: area of the pack's side over the thickness, worked out by hand for round packs.
@pytest.mark.parametrize(
    ("pack_in", "hub_in", "thickness_mil", "feet"),
    [
        (10.0, 4.5, 2.0, 2609.8),
        (9.5, 4.5, 2.0, 2290.7),
        (9.0, 4.5, 1.9, 2092.7),
        (8.0, 4.5, 2.0, 1431.7),
        (6.0, 4.5, 2.0, 515.4),
        (6.5, 2.25, 1.9, 1281.0),
        (9.5, 4.5, 2.13, 2150.9),
    ],
)
def test_a_pack_holds_so_many_feet(pack_in: float, hub_in: float, thickness_mil: float, feet: float) -> None:
    assert float(length_from_pack(pack_in, hub_in, thickness_mil)) / 12 == pytest.approx(feet, abs=0.1)
    assert spiral_length(pack_in, hub_in, thickness_mil) / 12 == pytest.approx(feet, abs=0.1)


# The same in metric measures.
@pytest.mark.parametrize(
    ("pack_mm", "hub_mm", "thickness_um", "metres"),
    [(250, 114.3, 50, 776.5), (240, 100, 50, 747.7), (260, 100, 35, 1292.5)],
)
def test_a_metric_pack_holds_so_many_metres(
    pack_mm: float, hub_mm: float, thickness_um: float, metres: float
) -> None:
    inches = length_from_pack(pack_mm * MM, hub_mm * MM, thickness_um / 25.4)
    assert float(inches) * 0.0254 == pytest.approx(metres, abs=0.1)


# Geometry, the other way round.
@pytest.mark.parametrize(
    ("feet", "hub_in", "thickness_mil", "pack_in"),
    [
        (2500, 4.5, 1.9, 9.635),
        (2500, 4.5, 2.0, 9.831),
        (2500, 4.5, 2.13, 10.080),
        (1200, 2.25, 1.9, 6.317),
        (5000, 4.5, 1.9, 12.861),
        (5000, 4.5, 2.0, 13.154),
    ],
)
def test_so_many_feet_make_a_pack_of_that_size(
    feet: float, hub_in: float, thickness_mil: float, pack_in: float
) -> None:
    assert pack_for_length(feet * 12, hub_in, thickness_mil) == pytest.approx(pack_in, abs=0.001)


def test_a_ten_inch_pack_of_two_mil_has_1375_layers() -> None:
    assert layers(10, Fraction(9, 2), 2) == 1375  # (10 - 4.5) / (2 x 0.002)


def test_the_hole_taken_for_the_hub_makes_the_tape_14_percent_too_long() -> None:
    # (100 - 9) / (100 - 20.25); 3 in is the hole of the reel (Wikipedia, audio tape specifications)
    assert length_from_pack(10, 3, 2) / length_from_pack(10, 4.5, 2) == pytest.approx(1.141, abs=0.001)


@given(hub=st.floats(1.5, 5), wider=st.floats(0.1, 9), thickness=st.floats(0.5, 2.5))
def test_the_spiral_and_the_area_agree_closer_than_a_caliper(
    hub: float, wider: float, thickness: float
) -> None:
    area = float(length_from_pack(hub + wider, hub, thickness))
    assert spiral_length(hub + wider, hub, thickness) == pytest.approx(area, rel=1e-6)


@given(length=st.floats(1, 90_000), hub=st.floats(1.5, 5), thickness=st.floats(0.5, 2.5))
def test_pack_and_length_are_each_other_backwards(length: float, hub: float, thickness: float) -> None:
    pack = pack_for_length(length, hub, thickness)
    assert float(length_from_pack(pack, hub, thickness)) == pytest.approx(length, rel=1e-6, abs=1e-3)


@pytest.mark.parametrize("pack", [(4.5, 4.5, 2), (4, 4.5, 2), (10, 0, 2), (10, 4.5, 0), (math.nan, 4.5, 2)])
def test_a_pack_that_cannot_be_is_refused(pack: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError):
        length_from_pack(*pack)


# Published lengths: naming rules of one maker, a tape box's time chart, Wikipedia on tape specifications;
# 2500 ft agrees with a studio's published 16.5 min at 30 ips; 5 in standard and 14 in from memory.
@pytest.mark.parametrize(
    ("size_in", "thickness_mil", "feet"),
    [
        (7, 1.5, 1200),
        (7, 1.0, 1800),
        (7, 0.5, 2400),
        (10.5, 1.0, 3600),
        (5, 1.0, 900),
        (10.5, 1.5, 2500),
        (5, 1.5, 600),
        (14, 1.5, 5000),
    ],
)
def test_a_full_reel_holds_its_published_length(size_in: float, thickness_mil: float, feet: int) -> None:
    assert length_from_reel(size_in, thickness_mil) == feet * 12


# One maker's codes: 50 µm standard, 35 µm long play, 26 µm double play; 1200, 1800 and 2400 ft on 7 in.
@pytest.mark.parametrize(("um", "feet"), [(50, 1200), (52, 1200), (35, 1800), (26, 2400)])
def test_whole_thicknesses_in_micrometres_tell_the_class(um: float, feet: int) -> None:
    assert length_from_reel(Fraction(7), Fraction(um * 10, 254)) == feet * 12


def test_metric_reel_names_find_the_same_rows() -> None:
    assert length_from_reel(18 / 2.54, 1.5) == 1200 * 12  # 18 cm
    assert length_from_reel(26.5 / 2.54, 1.5) == 2500 * 12  # 26.5 cm


@pytest.mark.parametrize(("size_in", "thickness_mil"), [(12, 1.5), (7, 3), (7, 1.2), (14, 0.709)])
def test_a_reel_that_no_row_fits_has_no_length(size_in: float, thickness_mil: float) -> None:
    assert length_from_reel(size_in, thickness_mil) is None


def test_a_data_sheets_layers_add_to_its_whole() -> None:
    # Handbook for Sound Engineers, p. 1069: oxide 0.690, base 1.400, back coat 0.040 mil, in all 54.1 µm
    row = thickness_row(1.4)
    assert row is not None
    assert row.values["total_mil"] == pytest.approx(0.690 + 1.400 + 0.040, abs=0.001)
    assert row.values["total_mil"] * 25.4 == pytest.approx(54.1, abs=0.05)


def test_the_pack_formula_is_given_the_whole_thickness() -> None:
    assert total_thickness_mil(1.5) == 2.0
    assert total_thickness_mil(1.9) == 1.9
    assert total_thickness_mil(3) is None
