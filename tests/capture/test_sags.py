"""Speed that sags: the timecode tells where the tape stuck, and a steady one tells nothing."""

import numpy as np
import pytest
import soundfile
from scipy.interpolate import interp1d

from core.capture.check import check_capture
from core.capture.timecode.encode import timecode
from core.capture.timecode.labels import rate_named
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 48000
FACTS = ReelFacts("R", 1, timecode_track=1, timecode_rate="25")


def played(path, slow):
    """A minute of code played by a tape whose speed is `slow(seconds)` of its own; the check of it."""
    code = timecode("01:00:10:00", 1500, rate_named("25"), RATE)
    at = np.arange(58 * RATE) / RATE
    place = np.cumsum(slow(at)) / RATE
    sound = interp1d(np.arange(len(code)) / RATE, code, "linear")(np.minimum(place, (len(code) - 1) / RATE))
    soundfile.write(path, (0.5 * sound).astype(np.float32), RATE, subtype="PCM_24")
    return [one for one in check_capture(FACTS, StudioFacts(), [path]).findings if one.kind in ("sag", "wow")]


def test_a_sag_of_three_thousandths_over_two_seconds_is_found_at_its_place(tmp_path):
    sags = played(tmp_path / "sag.wav", lambda at: 1 - 0.003 * ((at >= 30) & (at < 32)))
    assert len(sags) == 1
    assert sags[0].start == pytest.approx(30, abs=0.4) and sags[0].end == pytest.approx(32, abs=0.4)
    assert sags[0].weight == "remark" and "sags by 0.3" in sags[0].says


def test_a_steady_tape_and_one_with_the_usual_wow_tell_nothing(tmp_path):
    assert played(tmp_path / "steady.wav", np.ones_like) == []
    assert played(tmp_path / "wow.wav", lambda at: 1 + 0.0005 * np.sin(2 * np.pi * 0.8 * at)) == []


def test_a_tape_that_sticks_again_and_again_is_one_line(tmp_path):
    sags = played(tmp_path / "many.wav", lambda at: 1 - 0.004 * ((at % 3.5) < 0.5) * (at > 3))
    assert len(sags) == 1
    assert "times" in sags[0].says


def test_wow_that_grows_by_a_known_depth_is_told_and_the_same_depth_all_along_is_not(tmp_path):
    """Sway of 1 Hz, 0.3 % at its peak in the end: two sigma are 0.997 of the peak of a sine."""
    (wow,) = played(tmp_path / "grows.wav", lambda at: 1 + 0.003 * (at / 58) ** 2 * np.sin(2 * np.pi * at))
    assert wow.kind == "wow" and wow.weight == "remark" and 10 < wow.start < 40 and wow.end > 55
    last = float(wow.says.split(" to ")[1].split()[0])
    assert last == pytest.approx(100 * 0.003 * 0.997 * (11 / 12) ** 2, abs=0.04)
    assert played(tmp_path / "even.wav", lambda at: 1 + 0.001 * np.sin(2 * np.pi * at)) == []
