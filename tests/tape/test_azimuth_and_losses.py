"""Azimuth, gap, spacing, noise against published figures and formulas."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.tape.physics.azimuth import (
    azimuth_loss_db,
    first_null_hz,
    microradians,
    minutes_from_delay,
    minutes_from_phase,
    minutes_of_arc,
    phase_degrees,
    unambiguous_hz,
)
from core.tape.physics.losses import gap_loss_db, spacing_loss_db, track_noise_db, wavelength_um


# sin x / x, the standard result; worked out apart from the code.
@pytest.mark.parametrize(
    ("track_mil", "minutes", "hz", "speed_ips", "db"),
    [
        (234, 5, 10_000, 15, -0.75), (234, 5, 16_000, 15, -1.97), (82, 10, 10_000, 15, -0.36),
        (82, 10, 16_000, 7.5, -4.08), (30, 10, 16_000, 15, -0.12), (70, 10, 16_000, 15, -0.69),
        (30, 10, 16_000, 7.5, -0.50), (70, 10, 16_000, 7.5, -2.89), (234, 10, 10_000, 7.5, -19.97),
        (234, 10, 16_000, 7.5, -13.28), (234, 5, 16_000, 30, -0.48),
    ],
)  # fmt: skip
def test_treble_lost_to_azimuth(
    track_mil: float, minutes: float, hz: float, speed_ips: float, db: float
) -> None:
    assert azimuth_loss_db(track_mil, minutes, hz, speed_ips) == pytest.approx(db, abs=0.015)


def test_the_first_null_of_a_full_track() -> None:
    assert first_null_hz(234, 10, 15) == pytest.approx(22_000, abs=60)  # v / (w tan α)
    assert first_null_hz(234, 10, 7.5) == pytest.approx(11_000, abs=30)
    assert first_null_hz(234, 0, 15) == math.inf


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


def test_delay_between_tracks_is_phase_over_frequency() -> None:
    degrees = phase_degrees(23, 2, 1000, 15)
    assert minutes_from_delay(23, degrees / 360 / 1000 * 1e6, 15) == pytest.approx(2)


def test_phase_is_unambiguous_up_to_half_a_turn() -> None:
    hz = unambiguous_hz(23, 10, 15)
    assert phase_degrees(23, 10, hz, 15) == pytest.approx(180)
    assert unambiguous_hz(23, 0, 15) == math.inf


# 20·log₁₀ sin(1.11πg/λ)/(1.11πg/λ): Gap length losses in tape playback, Springer 1994.
@pytest.mark.parametrize(
    ("hz", "speed_ips", "db"),
    [(10_000, 7.5, -0.44), (16_000, 7.5, -1.15), (10_000, 15, -0.11), (16_000, 15, -0.28)],
)
def test_a_gap_of_3_micrometres(hz: float, speed_ips: float, db: float) -> None:
    assert gap_loss_db(3, hz, speed_ips) == pytest.approx(db, abs=0.01)


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


def test_twice_the_track_is_three_decibels_quieter_noise() -> None:
    assert track_noise_db(2, 1) == pytest.approx(3.01, abs=0.005)  # Dilettante's Dictionary: 3 dB
    assert track_noise_db(70, 30) == pytest.approx(3.68, abs=0.005)


@given(minutes=st.floats(0, 20), hz=st.floats(20, 20_000))
def test_nothing_is_ever_gained(minutes: float, hz: float) -> None:
    assert azimuth_loss_db(43, minutes, hz, 7.5) <= 1e-12
    assert gap_loss_db(minutes, hz, 7.5) <= 1e-12


def test_a_gap_as_long_as_the_wave_hears_nothing() -> None:
    assert gap_loss_db(wavelength_um(10_000, 7.5) / 1.11, 10_000, 7.5) < -150
