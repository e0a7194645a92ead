"""Tone to speed: a millionth in ten seconds at 20 dB, no number for music, and wow and flutter."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.capture.speed.flutter import flutter_of, weight_db
from core.capture.speed.tone import ToneMeter, measure_tone, speed_error


def sine(hertz, seconds, rate=48000, amplitude=0.5):
    return (amplitude * np.sin(2 * np.pi * hertz * np.arange(int(seconds * rate)) / rate)).astype(np.float32)


@pytest.mark.parametrize(
    ("measured", "nominal", "percent", "cents"),
    [
        # 1200 log2 of the ratio; 1000/1001 is the pull-down of 29.97 against 30.
        (3165.75, 3150, 0.5, 8.6346), (3140.55, 3150, -0.3, -5.2015), (1010, 1000, 1.0, 17.2264),
        (990, 1000, -1.0, -17.3995), (1030, 1000, 3.0, 51.1732), (1000, 1001, -0.0999, -1.7304),
        (24, 25, -4.0, -70.6724), (2000, 1000, 100.0, 1200.0),
    ],
)  # fmt: skip
def test_speed_error_in_percent_and_cents(measured, nominal, percent, cents):
    assert speed_error(measured, nominal) == pytest.approx((percent, cents), abs=1e-4)


@pytest.mark.parametrize("hertz", [50.0, 1000.0, 3165.75, 10000.0])
@pytest.mark.parametrize("rate", [44100, 96000])
def test_a_tone_is_measured_to_a_millionth_in_ten_seconds_at_20_db(hertz, rate):
    sound = sine(hertz, 10, rate)
    noise = np.random.default_rng(int(hertz)).normal(size=len(sound)) * 0.5 / np.sqrt(2) * 0.1
    tone = measure_tone((sound + noise).astype(np.float32), rate)
    assert tone.hz == pytest.approx(hertz, rel=1e-6)
    assert tone.level_dbfs == pytest.approx(-9.031, abs=0.02)  # half amplitude: -6.0206 - 3.0103


def test_a_tone_is_found_near_its_nominal_frequency_only():
    assert measure_tone(sine(1050, 5), 48000, nominal_hz=1000).ratio(1000) == pytest.approx(1.05, rel=1e-6)
    assert measure_tone(sine(440, 5), 48000, nominal_hz=1000) is None


def test_music_noise_and_silence_are_no_steady_tone():
    draw = np.random.default_rng(4)
    seconds = np.arange(int(0.4 * 48000)) / 48000
    notes = [
        np.sin(2 * np.pi * hz * seconds) * np.exp(-3 * seconds)
        for hz in draw.choice([220, 262, 330, 392], 25)
    ]
    chord = sine(220, 10) + sine(277, 10) + sine(330, 10)
    noise = draw.normal(size=480000) * 0.2
    for sound in (np.concatenate(notes), chord / 3, noise, np.zeros(480000), sine(1000, 2)):
        assert measure_tone(sound.astype(np.float32), 48000) is None


def test_a_tone_among_other_sound_is_placed():
    noise = np.random.default_rng(1).normal(size=3 * 48000).astype(np.float32) * 0.1
    tone = measure_tone(np.concatenate([noise, sine(1000, 8), noise]), 48000, nominal_hz=1000)
    assert tone.start == pytest.approx(3.0, abs=1.3)
    assert tone.end == pytest.approx(11.0, abs=0.4)
    assert tone.hz == pytest.approx(1000, rel=1e-6)


def test_drift_along_the_reel_is_measured():
    at = np.arange(40 * 48000) / 48000
    sound = 0.5 * np.sin(2 * np.pi * 1000 * (at + 0.002 * at**2 / 80))  # 0.2 % faster at the end
    tone = measure_tone(sound.astype(np.float32), 48000, nominal_hz=1000)
    assert tone.drift_percent == pytest.approx(0.18, abs=0.004)  # from the first tenth to the last
    assert tone.ratio(1000) == pytest.approx(1.001, abs=2e-5)


@settings(max_examples=10, deadline=None)
@given(st.lists(st.integers(1, 60000), min_size=1, max_size=8))
def test_the_tone_does_not_depend_on_the_blocks(cuts):
    sound = np.concatenate([np.zeros(5000, np.float32), sine(997, 5)])
    whole, cut, at = ToneMeter(48000), ToneMeter(48000), 0
    whole.feed(sound)
    for length in (*cuts, len(sound)):
        cut.feed(sound[at : at + length])
        at += length
    assert cut.finish() == whole.finish()


@pytest.mark.parametrize("sway_hz", [0.5, 4.0, 10.0, 40.0])
def test_known_sway_gives_known_flutter(sway_hz):
    # 0.1 % peak; the two-sigma value of a sine is its peak times cos(0.05 x 90 degrees) = 0.9969.
    at = np.arange(20 * 48000) / 48000
    phase = 3150 * at - 0.001 * 3150 / (2 * np.pi * sway_hz) * np.cos(2 * np.pi * sway_hz * at)
    flutter = measure_tone((0.5 * np.sin(2 * np.pi * phase)).astype(np.float32), 48000, 3150).flutter
    assert flutter.unweighted_percent == pytest.approx(0.09969, rel=0.03)
    expected = 0.09969 * 10 ** (weight_db(np.array([sway_hz]))[0] / 20)
    assert flutter.weighted_percent == pytest.approx(expected, rel=0.04)
    assert (flutter.wow_percent > 0.09) == (sway_hz < 4)


def test_flutter_wants_five_seconds():
    assert flutter_of(np.zeros(4999), 1000) is None
    assert flutter_of(np.zeros(5000), 1000).weighted_percent == 0


def test_the_weight_is_greatest_at_4_hz_and_falls_both_ways():
    # Published: 0 dB at 4 Hz, about 6 dB an octave to either side (AES standards blog, February 2009).
    weight = weight_db(np.array([0.5, 1, 2, 4, 10, 20, 40]))
    assert weight.argmax() == 3
    assert weight[3] == 0
    assert list(weight[:4]) == sorted(weight[:4])
    assert np.isneginf(weight_db(np.array([0.1, 300.0]))).all()


@pytest.mark.parametrize(("sway_hz", "factor"), [(0.2, 0.0296), (0.8, 0.5), (4.0, 1.0), (20.0, 0.508)])
def test_the_weight_is_the_published_one_where_it_is_quoted(sway_hz, factor):
    """The four anchors of AES6-2008 that are quoted in public, as factors with three figures."""
    assert 10 ** (weight_db(np.array([sway_hz]))[0] / 20) == pytest.approx(factor, rel=0.005)
