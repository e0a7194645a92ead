"""What a stop of the tape changed: the same music before and after it, by Wallace's law."""

from itertools import islice

import numpy as np
import pytest
import soundfile
from lostcontact import spaced
from realsound import RATE, recordings, with_hiss

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts

CUT, STEP = 14 * RATE, 8 * RATE


@pytest.fixture(scope="module")
def loops():
    laid = (sound for kind, _, sound in recordings("held", 24.0) if kind == "loops")
    found = list(islice(laid, 4))
    if len(found) < 4:
        pytest.skip("recordings of real music are not installed (sonic-pi-samples)")
    return [with_hiss(sound[: 24 * RATE], -66.0, number) for number, sound in enumerate(found)]


def stops(folder, before, after):
    """Both pieces of a pass, the second run on from 8 s before the end of the first, with hiss of its own."""
    first = [track[:CUT] for track in before]
    second = [with_hiss(track[CUT - STEP :], -75.0, 40 + at) for at, track in enumerate(after)]
    paths = [folder / "a.wav", folder / "b.wav"]
    for path, tracks in zip(paths, (first, second), strict=True):
        soundfile.write(path, np.stack(tracks, axis=1), RATE, "PCM_24")
    check = check_capture(ReelFacts("R", len(first), speed_ips=15.0), StudioFacts(), paths)
    return [one for one in check.findings if one.kind == "stop"]


def micrometres(says):
    return float(says.split("as by ")[1].split()[0])


@pytest.mark.parametrize("dirt", [1.5, 3.0])
def test_cleaning_at_a_stop_is_proved_by_the_treble_that_is_back(loops, dirt, tmp_path):
    (found,) = stops(tmp_path, [spaced(track, RATE, dirt).astype(np.float32) for track in loops], loops)
    assert "cleaning helped" in found.says and "play it again from" in found.says
    assert micrometres(found.says) == pytest.approx(dirt, abs=0.4)
    assert (found.start, found.end) == pytest.approx((6.0, 14.0), abs=0.01) and found.weight == "remark"


def test_heads_that_are_dirtier_after_a_stop_are_told(loops, tmp_path):
    (found,) = stops(tmp_path, loops, [spaced(track, RATE, 2.0).astype(np.float32) for track in loops])
    # The hiss of the second run covers the weakest treble, so rather too little is told.
    assert "treble is less" in found.says and 1.2 <= micrometres(found.says) <= 2.4


def test_a_level_that_is_another_is_told_and_nothing_where_nothing_changed(loops, tmp_path):
    (found,) = stops(tmp_path, loops, [*loops[:3], 0.8 * loops[3]])
    assert "track 4 by -1.9 dB" in found.says
    assert stops(tmp_path, loops, loops) == []
