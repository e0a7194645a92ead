"""What each tone of a calibration tape must read for a reel's set-up."""

from collections.abc import Callable

import pytest

from core.lineup.calibration import CalibrationTape, bass_misleads, calibration_tape, expected_db
from core.lineup.sheet import lineup_sheet
from core.lineup.tones import tones
from core.reels.reel import Reel
from core.studio.setup import Setup
from core.tape.physics.equalisation import equalisations, find_equalisation

TapeOf = Callable[..., CalibrationTape]


# 20·log₁₀ of the levels: a 250 tape for 320 reads −2.14, 185 for 250 −2.62, 355 for 250 +3.05.
@pytest.mark.parametrize(
    ("tape", "reel", "db"), [(250, 320, -2.14), (185, 250, -2.62), (355, 250, 3.05), (250, 250, 0.0)]
)
def test_a_tape_of_another_level(tape_of: TapeOf, tape: float, reel: float, db: float) -> None:
    nab = find_equalisation("NAB", 15)
    assert nab is not None
    for hz in (50, 1000, 10_000):
        assert expected_db(tape_of(tape), nab, reel, hz) == pytest.approx(db, abs=0.005)


def test_a_tape_of_another_standard_reads_its_difference_from_1_khz(tape_of: TapeOf) -> None:
    # By the form of IEC 60094-1: IEC1 tape on NAB +2.70 dB at 10 kHz, −3.01 at 50 Hz from mid-band, and
    # −0.21 against −0.40 at 1 kHz, so +2.51 and −3.20 from there.
    nab = find_equalisation("NAB", 15)
    assert nab is not None
    tape = tape_of(250, "IEC1")
    assert expected_db(tape, nab, 250, 1000) == pytest.approx(0, abs=1e-9)
    assert expected_db(tape, nab, 250, 10_000) == pytest.approx(2.70 - 0.19, abs=0.02)
    assert expected_db(tape, nab, 250, 50) == pytest.approx(-3.01 - 0.19, abs=0.02)


def test_slow_tapes_have_their_tones_ten_decibels_down(tape_of: TapeOf) -> None:
    # a laboratory's Publication 070: 0 dB at 7.5, 15 and 30 ips, −10 dB at 3.75
    assert [tape_of(250, "NAB", speed).recorded_db for speed in (3.75, 7.5, 15)] == [-10, 0, 0]
    assert tape_of(250, "AES", 30).recorded_db == 0
    assert tape_of(250, tones_db=-20).recorded_db == -20


def test_an_older_german_320_is_read_as_288(tape_of: TapeOf) -> None:
    # Tape Flux Measurement Revisited, J. Audio Eng. Soc.
    nab = find_equalisation("NAB", 15)
    assert nab is not None
    assert tape_of(320, older_german=True).true_nwb_m == pytest.approx(288)
    assert expected_db(tape_of(320, older_german=True), nab, 320, 1000) == pytest.approx(-0.92, abs=0.01)


def test_a_tape_for_another_speed_is_refused(tape_of: TapeOf) -> None:
    nab = find_equalisation("NAB", 7.5)
    assert nab is not None
    with pytest.raises(ValueError, match="ips"):
        expected_db(tape_of(250, "NAB", 15), nab, 250, 1000)


def test_a_tape_of_the_reels_own_kind_reads_nothing_at_any_frequency() -> None:
    for eq in equalisations():
        tape = CalibrationTape("x", 250, eq, tones_db=0)
        assert all(
            expected_db(tape, eq, 250, tone.hz) == 0 for tone in tones(eq.speed_ips, "many frequencies")
        )


# JAES 26(4), 1978: a full-width tape is no use below about 1000 Hz at 15 ips on multitrack heads.
@pytest.mark.parametrize(
    ("speed", "eq", "hz", "misleads"),
    [(15, "NAB", 100, True), (15, "NAB", 1000, False), (7.5, "NAB", 500, False), (7.5, "NAB", 400, True),
     (30, "AES", 1000, False), (30, "AES", 500, True)],
)  # fmt: skip
def test_full_width_bass_misleads_narrow_tracks(
    tape_of: TapeOf, speed: float, eq: str, hz: float, misleads: bool
) -> None:
    tape = tape_of(250, eq, speed)
    assert bass_misleads(tape, 16, hz) is misleads
    assert not bass_misleads(tape, 1, hz)
    assert not bass_misleads(tape_of(250, eq, speed, compensated=True), 16, hz)


def test_misleading_bass_is_written_down_and_not_judged(
    tape_of: TapeOf, setup_of: Callable[..., Setup]
) -> None:
    sheet = lineup_sheet("D1", setup_of(), 16, tape_of())
    bass = [line for line in sheet.lines if line.key.startswith("bass")]
    assert bass
    assert not any(line.judged for line in bass)
    assert all("sweep" in line.says for line in bass)


def test_a_calibration_reel_of_the_shelf_is_a_tape_of_tones(multitrack: Callable[..., Reel]) -> None:
    reel = multitrack(role="calibration", extra=(("compensated", "yes"),))
    tape = calibration_tape(reel)
    assert (tape.name, tape.nwb_m, tape.eq.key, tape.compensated) == ("R-1", 250, "nab-15", True)
    for gap in ({"speed": None}, {"level": None}, {"eq": "own"}):
        with pytest.raises(ValueError, match="R-1"):
            calibration_tape(multitrack(**gap))
