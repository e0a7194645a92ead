"""Fluxivity and decibels; speed in percent, cents and seconds."""

from fractions import Fraction

import pytest

from core.tape.physics.levels import (
    by_aes7,
    by_older_german,
    called,
    decibels,
    fluxivity,
    from_millimaxwell,
    meter_db,
    meter_db_from_nicknames,
    nickname_fluxivities,
    said_of_a_level,
)
from core.tape.physics.speed import (
    NOMINAL_IPS,
    cents,
    cm_per_second,
    nearest_nominal,
    percent_from_cents,
    percent_off,
    seconds_off,
    semitones,
)


# 20·log₁₀; a mastering studio's page prints 0.68 dB between 185 and 200, a history of levels 6.02 for 370.
@pytest.mark.parametrize(
    ("nwb_m", "re", "db"),
    [
        (200, 185, 0.68), (250, 185, 2.62), (320, 185, 4.76), (355, 185, 5.66), (370, 185, 6.02),
        (514, 185, 8.88), (320, 250, 2.14), (288, 320, -0.92), (355, 250, 3.05), (400, 200, 6.02),
        (250, 200, 1.94), (510, 320, 4.05), (185, 250, -2.62),
    ],
)  # fmt: skip
def test_one_fluxivity_over_another(nwb_m: float, re: float, db: float) -> None:
    assert decibels(nwb_m, re) == pytest.approx(db, abs=0.005)


# A page on test tapes rounds these to whole decibels under 320.
@pytest.mark.parametrize(("nwb_m", "db"), [(320, 0), (250, -2), (200, -4), (185, -5)])
def test_a_published_table_in_whole_decibels(nwb_m: float, db: int) -> None:
    assert round(decibels(nwb_m, 320)) == db


# Same formula the other way round.
@pytest.mark.parametrize(
    ("db", "re", "nwb_m"),
    [(3, 185, 261.3), (6, 185, 369.1), (9, 185, 521.4), (3, 200, 282.5), (6, 200, 399.1), (9, 200, 563.7)],
)
def test_so_many_decibels_over(db: float, re: float, nwb_m: float) -> None:
    assert fluxivity(db, re) == pytest.approx(nwb_m, abs=0.05)


def test_an_older_german_320_measures_288_by_aes7() -> None:
    assert by_aes7(320) == pytest.approx(288)  # Tape Flux Measurement Revisited, J. Audio Eng. Soc.
    assert by_older_german(288) == pytest.approx(320)


def test_the_draft_german_standard_of_1955_in_todays_unit() -> None:
    # a history of flux levels: 200 and 160 millimaxwell on a full track of 6.25 mm
    assert from_millimaxwell(200, 6.25) == pytest.approx(320)
    assert from_millimaxwell(160, 6.25) == pytest.approx(256)


def test_a_plus_3_tape_for_a_wanted_plus_5_shows_minus_2() -> None:
    assert meter_db_from_nicknames(3, 5) == -2  # basic alignment notes


# Level of the tape over the level wanted, 20·log₁₀.
@pytest.mark.parametrize(("tape", "wanted", "db"), [(250, 320, -2.14), (185, 250, -2.62), (355, 250, 3.05)])
def test_what_the_meter_shows(tape: float, wanted: float, db: float) -> None:
    assert meter_db(tape, wanted) == pytest.approx(db, abs=0.005)


# A textbook on operating level: 3 % distortion at 762 and 465 nWb/m for two tapes; dB by formula.
@pytest.mark.parametrize(("nwb_m", "db"), [(762, 12.30), (465, 8.00)])
def test_what_a_tape_holds_over_185(nwb_m: float, db: float) -> None:
    assert decibels(nwb_m, 185) == pytest.approx(db, abs=0.01)


def test_nicknames_mean_several_fluxivities() -> None:
    # catalogue of a calibration-tape laboratory: +3 is 250, +6 is 355
    assert nickname_fluxivities(3)["in catalogues"] == 250
    assert nickname_fluxivities(6)["in catalogues"] == 355
    assert nickname_fluxivities(6)["over 185 nWb/m"] == pytest.approx(369.1, abs=0.1)
    assert called(250) == ("+3",)
    assert called(251.5) == ()


def test_a_level_that_is_called_by_a_name_may_be_several() -> None:
    assert said_of_a_level("+6") == said_of_a_level("+6 dB") == (355, 369, 399)
    assert said_of_a_level("+3") == (250, 261, 283)
    assert said_of_a_level("G320") == said_of_a_level("g 320") == (320, 288)  # 0.9 of it, by AES7
    assert said_of_a_level("250 nWb/m") == said_of_a_level("320") == said_of_a_level("-6") == ()


@pytest.mark.parametrize("nothing", [0, -1, float("nan"), float("inf")])
def test_no_flux_has_no_decibels(nothing: float) -> None:
    with pytest.raises(ValueError):
        decibels(nothing, 185)


# One inch is 2.54 cm; a table of open-reel speeds prints 76, 38, 19, 9.52, 4.76, 2.38.
@pytest.mark.parametrize(
    ("ips", "cm"),
    [(30, "76.2"), (15, "38.1"), (7.5, "19.05"), (3.75, "9.525"), (1.875, "4.7625"), (0.9375, "2.38125")],
)
def test_speeds_in_centimetres(ips: float, cm: str) -> None:
    assert cm_per_second(ips) == Fraction(cm)
    assert ips in NOMINAL_IPS


# 1200·log₂(1 + e)
@pytest.mark.parametrize(
    ("percent", "pitch_cents"), [(0.2, 3.46), (1, 17.23), (0, 0), (-50, -1200), (100, 1200)]
)
def test_percent_as_cents(percent: float, pitch_cents: float) -> None:
    assert cents(percent) == pytest.approx(pitch_cents, abs=0.005)
    assert percent_from_cents(pitch_cents) == pytest.approx(percent, abs=0.001)


def test_a_semitone_is_a_twelfth_of_an_octave() -> None:
    assert percent_from_cents(100) == pytest.approx(5.946, abs=0.001)  # 2^(1/12) - 1
    assert semitones(5.9463) == pytest.approx(1, abs=1e-4)


def test_one_percent_over_a_reel_is_twenty_seconds() -> None:
    assert seconds_off(1, 2000) == pytest.approx(20, abs=0.3)  # 33 min 20 s
    assert seconds_off(-0.2, 2000) == pytest.approx(-4.0, abs=0.02)


def test_a_reel_that_ran_32_30_for_32_minutes_is_1_6_percent_long() -> None:
    assert percent_off(32.5, 32) == pytest.approx(1.6, abs=0.05)  # ARSC list, September 2004


@pytest.mark.parametrize(
    ("measured", "nominal"), [(14.9, 15), (16.2, 15), (7.6, 7.5), (29, 30), (1.8, 1.875)]
)
def test_the_nearest_nominal_speed(measured: float, nominal: float) -> None:
    assert nearest_nominal(measured) == nominal


@pytest.mark.parametrize("percent", [-100, -150, float("nan")])
def test_a_tape_that_stands_has_no_pitch(percent: float) -> None:
    with pytest.raises(ValueError):
        cents(percent)
