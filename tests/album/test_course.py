"""What a check keeps of time: frames where the code was laid, speed along the way, levels in bands."""

from __future__ import annotations

import numpy as np
import pytest
import soundfile

from core.album.course import Course
from core.capture.check import check_capture
from core.capture.timecode.encode import timecode
from core.capture.timecode.labels import RATES
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 48_000


def sway(seconds: float) -> np.ndarray:
    """Places on the tape, in samples, of a pass whose speed swings by 0.1 % twice a minute."""
    at = np.arange(round(seconds * RATE)) / RATE
    return RATE * (at + 0.001 * 30 / (2 * np.pi) * np.sin(2 * np.pi * at / 30))


@pytest.fixture
def swaying(tmp_path):
    """A track of code and one of noise that grows in steps, played by a deck that sways."""
    places = sway(40)
    code = timecode("23:59:50:00", 1100, RATES["25"], RATE, amplitude=0.4)
    tape = np.arange(code.size)
    noise = np.random.default_rng(5).standard_normal(places.size) * 0.01
    noise[20 * RATE :] *= 10
    sound = np.stack([np.interp(places, tape, code), noise], 1)
    soundfile.write(tmp_path / "pass.wav", sound, RATE, "PCM_24")
    return tmp_path / "pass.wav", places


def course_of(path, **how) -> Course:
    course = check_capture(ReelFacts("R-001"), StudioFacts(), [path], **how).course
    assert course is not None
    return course


def test_frames_are_kept_where_they_lie_and_count_on_over_midnight(swaying):
    path, places = swaying
    (code,) = course_of(path).code
    assert (code.track, code.rate) == (1, "25") and code.run.max() == 0
    true = np.interp(code.places, np.arange(places.size), places) / RATE
    off = (code.clock() - code.clock()[0]) - (true - true[0])
    assert len(code.places) > 900 and code.clock()[-1] > 86400
    assert np.abs(off).max() * RATE < 1.0


def test_speed_along_the_way_is_that_of_the_deck(swaying):
    path, _ = swaying
    (speed,) = course_of(path).speed
    true = 1 + 0.001 * np.cos(2 * np.pi * speed.seconds / 30)
    assert (speed.source, speed.track) == ("timecode", 1) and len(speed.seconds) >= 38
    assert np.abs(speed.ratio - true)[1:-1].max() < 5e-5


def test_levels_are_those_of_the_sound_in_every_band(swaying):
    path, _ = swaying
    levels = course_of(path).levels
    assert levels is not None and levels.hertz == pytest.approx(46.875)
    rows = levels.halves[1].astype(float) / -2
    loud, quiet = rows[int(25 * 46.875) :], rows[10 : int(15 * 46.875)]
    assert np.all(np.abs(loud.mean(axis=0) - quiet.mean(axis=0) - 20) < 1.0)
    assert abs(float(rows[-200:, 5].mean()) - 20 * np.log10(0.1)) < 1.0


def test_the_course_does_not_depend_on_how_the_pass_was_read(swaying):
    path, _ = swaying
    assert course_of(path, block_frames=999).to_bytes() == course_of(path, workers=2).to_bytes()


def test_a_course_comes_back_from_its_file_and_nothing_else_does(swaying):
    path, _ = swaying
    content = course_of(path).to_bytes()
    assert Course.from_bytes(content).to_bytes() == content
    for wrong in (b"", b"PK", content[:-100], b"x" * 1000):
        with pytest.raises(ValueError):
            Course.from_bytes(wrong)
