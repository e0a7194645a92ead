"""Fluxivity and decibels; speed in percent, cents and seconds."""

import pytest

from core.tape.physics.levels import (
    by_aes7,
    called,
    decibels,
    fluxivity,
    nickname_fluxivities,
    said_of_a_level,
)
from core.tape.physics.speed import (
    cents,
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


@pytest.mark.parametrize("percent", [-100, -150, float("nan")])
def test_a_tape_that_stands_has_no_pitch(percent: float) -> None:
    with pytest.raises(ValueError):
        cents(percent)


def test_an_older_german_320_measures_288_by_aes7() -> None:
    assert by_aes7(320) == pytest.approx(288)  # Tape Flux Measurement Revisited, J. Audio Eng. Soc.


# 1200·log₂(1 + e)
@pytest.mark.parametrize(
    ("percent", "pitch_cents"), [(0.2, 3.46), (1, 17.23), (0, 0), (-50, -1200), (100, 1200)]
)
def test_percent_as_cents(percent: float, pitch_cents: float) -> None:
    assert cents(percent) == pytest.approx(pitch_cents, abs=0.005)


def test_a_semitone_is_a_twelfth_of_an_octave() -> None:
    assert semitones(5.9463) == pytest.approx(1, abs=1e-4)  # 2^(1/12) - 1
