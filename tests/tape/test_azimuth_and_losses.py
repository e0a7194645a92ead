"""Azimuth, gap, spacing, noise against published figures and formulas."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.tape.physics.azimuth import (
    microradians,
    minutes_from_phase,
    minutes_of_arc,
    phase_degrees,
)
from core.tape.physics.losses import spacing_loss_db, wavelength_um


def test_a_laboratory_tolerance_of_300_microradians_is_one_minute() -> None:
    assert minutes_of_arc(300) == pytest.approx(1, abs=0.05)  # azimuth paper, 2000: ±300 µrad, ±1 min
    assert microradians(1.0313) == pytest.approx(300, abs=0.1)


# A laboratory's azimuth paper (2000), edge tracks of 2 mm, tape of 300 µrad, 10 kHz: rounded figures.
@pytest.mark.parametrize(
    ("tape_mm", "speed_ips", "published", "within"),
    [(6.3, 3.75, 45, 5), (12.5, 3.75, 110, 10), (25, 3.75, 260, 5), (6.3, 7.5, 22, 3)],
)
def test_phase_between_edge_tracks(tape_mm: float, speed_ips: float, published: float, within: float) -> None:
    minutes = minutes_of_arc(300)
    # distance between the middles of two 2 mm tracks at the edges
    apart = tape_mm - 2
    assert phase_degrees(apart, minutes, 10_000, speed_ips) == pytest.approx(published, abs=within)


# 360·s·α·f/v for 1 in, by hand
@pytest.mark.parametrize(("speed_ips", "degrees"), [(7.5, 130.4), (15, 65.2), (30, 32.6)])
def test_phase_on_one_inch_tape(speed_ips: float, degrees: float) -> None:
    assert phase_degrees(23, minutes_of_arc(300), 10_000, speed_ips) == pytest.approx(degrees, abs=0.3)


@given(minutes=st.floats(-10, 10), hz=st.floats(100, 16_000), apart=st.floats(1, 48))
def test_phase_and_angle_are_each_other_backwards(minutes: float, hz: float, apart: float) -> None:
    degrees = phase_degrees(apart, minutes, hz, 15)
    assert minutes_from_phase(apart, degrees, hz, 15) == pytest.approx(minutes, abs=1e-6)


# 54.6 dB for each wavelength of distance, from memory.
@pytest.mark.parametrize(("speed_ips", "db"), [(7.5, -2.87), (15, -1.43), (30, -0.72)])
def test_one_micrometre_of_dirt_at_10_khz(speed_ips: float, db: float) -> None:
    assert spacing_loss_db(1, 10_000, speed_ips) == pytest.approx(db, abs=0.005)


# v / f
@pytest.mark.parametrize(
    ("hz", "speed_ips", "um"), [(16_000, 15, 23.81), (50, 7.5, 3810), (50, 15, 7620), (50, 30, 15_240)]
)
def test_wavelength(hz: float, speed_ips: float, um: float) -> None:
    assert wavelength_um(hz, speed_ips) == pytest.approx(um, abs=0.01)
