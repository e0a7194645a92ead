"""A made calibration tape with known levels, response and azimuth is measured back."""

import numpy as np
import pytest

from core.capture.lineup.lineup_recording import LineUpMeter, azimuth_of, measure_line_up
from core.tape.physics.azimuth import phase_degrees

RATE = 48000
TONES = (1000.0, 100.0, 50.0, 10000.0, 16000.0)
APART_MM = 22.0
MINUTES = 6.0


@pytest.fixture(scope="module")
def capture():
    """Eight tracks, five tones of 4 s; track 3 half a dB low, treble falling, 6 minutes of azimuth error."""
    parts = []
    for hz in TONES:
        at = np.arange(4 * RATE) / RATE
        rows = []
        for track in range(8):
            level = 0.2 * 10 ** ((-0.5 * (track == 2) - 2.0 * (hz == 16000) * track / 7) / 20)
            ahead = np.radians(phase_degrees(APART_MM, MINUTES, hz, 15)) * track / 7
            rows.append(level * np.sin(2 * np.pi * hz * at + ahead))
        parts += [np.array(rows), np.zeros((8, RATE // 2))]
    noise = np.random.default_rng(1).normal(size=(8, 22 * RATE + RATE // 2)) * 0.0005
    return (np.concatenate(parts, axis=1) + noise).astype(np.float32)


def test_every_tone_is_found_at_its_place_and_frequency(capture):
    tones = measure_line_up(capture, RATE).tones
    assert [tone.hz for tone in tones] == pytest.approx(list(TONES), rel=2e-3)
    for number, tone in enumerate(tones):
        assert tone.start == pytest.approx(4.5 * number, abs=0.26)
        assert tone.end == pytest.approx(4.5 * number + 4, abs=0.26)


def test_levels_of_every_track_come_out(capture):
    for tone in measure_line_up(capture, RATE).tones:
        expected = [-0.5 * (track == 2) - 2.0 * (tone.hz > 15000) * track / 7 for track in range(8)]
        # A sine of peak 0.2: 20 log10 0.2 - 3.01 = -16.99 dB.
        assert tone.levels_dbfs == pytest.approx([-16.99 + off for off in expected], abs=0.03)


def test_the_response_is_told_against_the_reference_tone(capture):
    rows = measure_line_up(capture, RATE).relative_db(1000)
    assert rows[0][1] == pytest.approx([0.0] * 8, abs=0.001)
    assert rows[-1][1] == pytest.approx([-2.0 * track / 7 for track in range(8)], abs=0.03)


def test_azimuth_comes_out_of_the_phase_through_whole_turns(capture):
    azimuth = azimuth_of(measure_line_up(capture, RATE), APART_MM, 15)
    assert azimuth.minutes == pytest.approx(MINUTES, abs=0.02)
    assert azimuth.misfit_degrees < 2
    assert azimuth.sure
    # At 16 kHz these six minutes are more than half a turn.
    assert azimuth.phases[-1][1] == pytest.approx(phase_degrees(APART_MM, MINUTES, 16000, 15), abs=2)


def test_the_blocks_do_not_matter(capture):
    meter = LineUpMeter(RATE, 8)
    for at in range(0, capture.shape[1], 7919):
        meter.feed(capture[:, at : at + 7919])
    assert meter.finish() == measure_line_up(capture, RATE)


def test_a_silent_track_has_no_level_and_noise_no_tone(capture):
    capture = capture.copy()
    capture[-1] = 0
    line_up = measure_line_up(capture, RATE)
    assert all(tone.levels_dbfs[-1] is None and tone.phase_degrees is None for tone in line_up.tones)
    assert azimuth_of(line_up, APART_MM, 15) is None
    noise = np.random.default_rng(2).normal(size=(2, 5 * RATE)).astype(np.float32) * 0.1
    assert measure_line_up(noise, RATE).tones == ()
    assert measure_line_up(noise, RATE).relative_db(1000) == ()
