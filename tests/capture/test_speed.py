"""Speed through the whole check: sound that was resampled by a known error must show that error.

A part in a million (ppm) in ten seconds at 20 dB is asked for of a tone.
"""

import numpy as np
import pytest
from scipy.signal import resample_poly

from core.capture.check import check_capture
from core.capture.speed.flutter import WEIGHTED
from core.capture.timecode.encode import timecode
from core.capture.timecode.labels import rate_named
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 48000
# Output over input samples when played: 1001/1000 plays 0.0999 % slow, 199/200 plays 0.5025 % fast.
LENGTHS = [(1001, 1000), (1000, 1001), (199, 200), (100, 97)]


def speed(path, part="", **reel):
    facts = ReelFacts("R", 1, sheet={1: part}, **reel)
    return check_capture(facts, StudioFacts(RATE), [path])


def with_hiss(sound, decibels=20.0):
    """White noise so far below the sound, both as RMS over the whole band."""
    hiss = np.random.default_rng(5).standard_normal(len(sound))
    return sound + hiss * np.sqrt(np.mean(sound**2)) * 10 ** (-decibels / 20)


@pytest.mark.parametrize(("up", "down"), LENGTHS)
@pytest.mark.parametrize("hertz", [1000, 3150])
def test_a_resampled_tone_tells_its_speed_to_a_millionth(wav, up, down, hertz):
    at = np.arange(int(10.5 * RATE)) / RATE
    played = resample_poly(0.25 * np.sin(2 * np.pi * hertz * at), up, down)[: 10 * RATE]
    found = speed(wav("tone.wav", with_hiss(played)), f"{hertz} Hz tone").speed
    assert found.source == "tone"
    assert 1 + found.percent / 100 == pytest.approx(down / up, rel=1e-6)
    assert found.cents == pytest.approx(1200 * np.log2(down / up), abs=0.002)


@pytest.mark.parametrize(("up", "down"), LENGTHS)
@pytest.mark.parametrize("rate", ["25", "29.97 DF"])
def test_resampled_timecode_tells_its_speed(wav, up, down, rate):
    """White noise at 20 dB; over 20 s the clock is good to 3 ppm."""
    code = timecode("01:00:00:00", 21 * 30, rate_named(rate), RATE)
    played = resample_poly(0.3 * code.astype(np.float64), up, down)[: 20 * RATE]
    found = speed(wav("code.wav", with_hiss(played)), timecode_track=1, timecode_rate=rate)
    assert found.speed.source == "timecode"
    assert 1 + found.speed.percent / 100 == pytest.approx(down / up, rel=3e-6)
    (track,) = found.timecode
    assert track.runs[0].seconds_per_sample * RATE == pytest.approx(down / up, rel=3e-6)


def test_timecode_is_the_better_witness(wav):
    at = np.arange(12 * RATE) / RATE
    tone = 0.25 * np.sin(2 * np.pi * 1010 * at)
    code = 0.3 * timecode("01:00:00:00", 350, rate_named("25"), RATE)[: len(at)]
    facts = ReelFacts("R", 2, sheet={1: "1 kHz tone", 2: "timecode"}, timecode_rate="25")
    found = check_capture(facts, StudioFacts(RATE), [wav("two.wav", np.stack([tone, code], axis=1))])
    assert found.speed.source == "timecode" and abs(found.speed.percent) < 0.001


def test_music_where_the_sheet_says_a_tone_gives_no_number(wav, rng):
    at = np.arange(12 * RATE) / RATE
    note = 220 * 2 ** (rng.integers(0, 12, 40)[(at / 0.3).astype(int)] / 12)
    music = 0.2 * np.sin(2 * np.pi * np.cumsum(note) / RATE) * np.exp(-3 * (at % 0.3))
    for part in ("1 kHz tone", "440 Hz tone", "piano"):
        found = speed(wav("music.wav", music), part).speed
        assert (found.source, found.percent, found.flutter_percent) == ("nothing", None, None)


def test_flutter_of_a_captured_tone_is_told_with_where_its_weighting_comes_from(wav):
    """0.1 % peak at 4 Hz, where the weight is one; two sigma of a sine is 0.9969 of its peak."""
    at = np.arange(20 * RATE) / RATE
    phase = 3150 * at - 0.001 * 3150 / (2 * np.pi * 4) * np.cos(2 * np.pi * 4 * at)
    found = speed(wav("sway.wav", 0.5 * np.sin(2 * np.pi * phase)), "3150 Hz tone").speed
    assert found.flutter_percent == pytest.approx(0.09969, rel=0.03)
    assert found.flutter_weighting == WEIGHTED and "from memory" in WEIGHTED
