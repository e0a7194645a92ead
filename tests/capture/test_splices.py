"""Splices: told where tracks that have nothing in common break at once, and nowhere else."""

import numpy as np
import pytest
import soundfile
from bands import band, spliced
from realsound import RATE

from core.capture.check import check_capture
from core.capture.faults.splices import Splice, find_splices, witnesses
from core.capture.measures.breaks import ORDER, _unforeseen
from core.capture.told.splices import _too_many
from core.capture.weighing.facts import ReelFacts, StudioFacts, TimedNote


@pytest.fixture(scope="module")
def sixteen():
    """Sixteen recordings that no limit was set on."""
    tracks = band("held", 1, 20.0)
    if len(tracks) < 16:
        pytest.skip("recordings of real music are not installed (sonic-pi-samples, lmms-common)")
    return tracks


def splices(path, tracks, *noted):
    soundfile.write(path, tracks.T, RATE, "PCM_24")
    facts = ReelFacts("R", len(tracks), notes=tuple(TimedNote(at, "splice by the chorus") for at in noted))
    return [one for one in check_capture(facts, StudioFacts(), [path]).findings if one.kind == "splice"]


def test_a_tape_that_was_cut_tells_where_and_which_of_the_noted_ones(sixteen, tmp_path):
    """One noted splice lies beneath its note, dropped a second late; another was noted where none is."""
    cut, places = spliced(sixteen, np.random.default_rng(4))
    found = splices(tmp_path / "cut.wav", cut, places[0] + 1.0, 18.9)
    heard = [one for one in found if one.end - one.start < 0.1]
    assert sorted(one.start for one in heard) == pytest.approx(places, abs=0.004)
    assert all(one.weight == "note" and one.track is None for one in found)
    assert "it is the one noted at 0:06.0" in heard[0].says
    assert "The splice noted at 0:18.9 is not heard" in "".join(one.says for one in found)


def test_a_tape_that_was_not_cut_tells_none(sixteen, tmp_path):
    assert splices(tmp_path / "whole.wav", sixteen) == []


def test_the_microphones_of_one_kit_are_one_witness():
    """Eight tracks break at every stroke, four others now and then: no stroke is a splice, a cut is one."""
    dice = np.random.default_rng(2)
    breaks = np.zeros((400, 12), bool)
    breaks[:, :8] = dice.random((400, 8)) < 0.7
    breaks[:, 8:] = dice.random((400, 4)) < 0.02
    breaks[200] = True
    labels = witnesses(breaks)
    assert len(set(labels[:8])) == 1 and len(set(labels)) == 5
    found = find_splices(np.arange(400) / 2.0, breaks, np.ones((400, 12), bool))
    assert [one.seconds for one in found] == [100.0]


@pytest.mark.parametrize("tracks", [1, 2, 3])
def test_a_few_tracks_are_no_witnesses(tracks):
    breaks = np.ones((5, tracks), bool)
    assert find_splices(np.arange(5.0), breaks, breaks) == []


@pytest.mark.parametrize(("every", "count", "many"), [(2.5, 24, True), (20.0, 24, False), (2.5, 12, False)])
def test_breaks_by_the_dozen_in_a_minute_are_one_line(every, count, many):
    """In applause all tracks break at once now and then; nobody joins tape so often."""
    heard = [Splice(at * every, 6, 16) for at in range(count)]
    assert _too_many(heard, count * every) is many


def test_what_was_not_foretold_is_what_the_taps_leave():
    """Block by block it is the same as sample after sample (J. Makhoul, Proceedings of the IEEE 63, 1975)."""
    dice = np.random.default_rng(3)
    sound = np.cumsum(dice.standard_normal((3, 320 + ORDER)), axis=1).astype(np.float32) * 0.01
    left = _unforeseen(sound)
    for row, errors in zip(sound.astype(float), left, strict=True):
        alike = np.array([row[lag:] @ row[: len(row) - lag] for lag in range(ORDER + 1)])
        alike[0] = alike[0] * 1.0001 + 1e-9
        taps = np.linalg.solve(alike[np.abs(np.subtract.outer(range(ORDER), range(ORDER)))], alike[1:])
        told = [taps @ row[at - ORDER : at][::-1] for at in range(ORDER, len(row))]
        assert errors == pytest.approx((row[ORDER:] - told) ** 2, rel=0.01, abs=1e-8)
