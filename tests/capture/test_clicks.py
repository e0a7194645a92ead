"""Clicks: told by their length and shape, many in one line, and none where music is only struck."""

import numpy as np
import pytest
import soundfile
from bands import band
from realsound import RATE

from core.capture.check import check_capture
from core.capture.measures.impulses import Click
from core.capture.told.clicks import _apart_from
from core.capture.weighing.facts import ReelFacts, StudioFacts
from core.capture.weighing.places import PassMaker
from core.capture.weighing.verdict import thresholds_with

AT = 3 * RATE


def clicks(path, *tracks):
    soundfile.write(path, np.stack(tracks, axis=1), RATE, "PCM_24")
    check = check_capture(ReelFacts("R", len(tracks)), StudioFacts(), [path])
    return [one for one in check.findings if one.kind == "click"]


def steady(seconds=6):
    at = np.arange(seconds * RATE) / RATE
    noise = np.random.default_rng(1).standard_normal(len(at))
    return 0.2 * np.sin(2 * np.pi * 220 * at) + 0.1 * np.sin(2 * np.pi * 333 * at) + 3e-4 * noise


@pytest.mark.parametrize(("shape", "says"), [
    (np.array([0.3]), "one or two samples"), (0.3 * np.hanning(12), "ms, as from static"),
    (np.full(3 * RATE, 0.2), "jumps and stays"),
])  # fmt: skip
def test_a_click_is_told_by_its_length_and_shape(shape, says, tmp_path):
    sound = steady()
    sound[AT : AT + len(shape)] += shape
    (found,) = clicks(tmp_path / "a.wav", sound)
    assert found.start == pytest.approx(3.0, abs=0.001) and found.end - found.start < 0.003
    assert says in found.says and found.weight == "note"


def test_a_click_is_found_wherever_blocks_are_cut(tmp_path):
    """A jump on the very first sample of what is measured together is held against what came before."""
    sound = steady()
    sound[2 * 65536 :] += 0.2
    (found,) = clicks(tmp_path / "a.wav", sound)
    assert found.start == pytest.approx(2 * 65536 / RATE, abs=0.001)


def test_a_click_track_is_one_line(tmp_path):
    """What clicks on every beat is told once."""
    sound = 3e-4 * np.random.default_rng(3).standard_normal(20 * RATE)
    sound[RATE // 4 :: RATE // 2] += 0.5
    (found,) = clicks(tmp_path / "a.wav", sound)
    assert "crackle, or what is played" in found.says


def test_real_music_left_clean_does_not_click(tmp_path):
    tracks = band("held", 1, 15.0, 8)
    if len(tracks) < 8:
        pytest.skip("recordings of real music are not installed (sonic-pi-samples, lmms-common)")
    assert len(clicks(tmp_path / "a.wav", *tracks)) <= 3  # loops are laid end to end: their seams may click


def test_clicks_at_the_edges_of_what_is_told_are_left_out_on_that_track_alone():
    """A fault of one track hides its own clicks, one of all tracks everybody's, none those farther off."""
    make = PassMaker(ReelFacts("R", 2), (1, 2), RATE, 10 * RATE, thresholds_with(None))
    mine = [Click(0, int(at * RATE), int(at * RATE) + 3, 20.0, 0.1, 0.0) for at in (1.0, 3.015, 5.0)]
    of_one, of_other = (make.at("dropout", channel, 3 * RATE, 3 * RATE + 480, "x") for channel in (0, 1))
    of_all = make.at("splice", None, 5 * RATE, 5 * RATE, "x")
    assert _apart_from(mine, [of_one, of_all], make) == mine[:1]
    assert _apart_from(mine, [of_other], make) == mine and _apart_from([], [of_one], make) == []
