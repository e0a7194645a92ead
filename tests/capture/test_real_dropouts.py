"""Dropouts in recordings of real music: most are told, and hardly any where there is none.

The recordings come from packages of the distribution; without them these tests are skipped. Faults are put in
as loss of level, and as spacing by Wallace's law.
"""

from itertools import islice
from pathlib import Path

import numpy as np
import pytest
import soundfile
from lostcontact import lose_contact, spacing_loss_db
from realsound import RATE, recordings, with_hiss

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts
from core.findings import verdict_of


@pytest.fixture(scope="module")
def music():
    """Eight recordings that no limit was set on, as tracks of 25 s."""
    laid = (sound for kind, _, sound in recordings("held", 25.0) if kind != "speech")
    found = list(islice(laid, 8))
    if len(found) < 8:
        pytest.skip("recordings of real music are not installed (sonic-pi-samples, lmms-common)")
    return np.stack([sound[: 12 * RATE] for sound in found])


def drops(path, tracks):
    soundfile.write(path, tracks.T, RATE, "PCM_24")
    check = check_capture(ReelFacts("R", len(tracks)), StudioFacts(), [path])
    return check, [one for one in check.findings if one.kind == "dropout"]


def test_spacing_costs_what_wallace_found():
    """54.6 dB a wavelength: a wavelength away at 15 in/s and 15 kHz (25.4 micrometres)."""
    assert spacing_loss_db(np.array([15000.0]), 25.4)[0] == pytest.approx(54.6)


def test_most_dropouts_in_real_music_are_on_the_list(music, tmp_path):
    dice, faulty, put = np.random.default_rng(3), [], []
    for number, sound in enumerate(music):
        made, lost = lose_contact(sound, RATE, dice)
        faulty.append(with_hiss(made, -68.0, number))
        put += [(number + 1, one) for one in lost]
    check, found = drops(tmp_path / "faulty.wav", np.stack(faulty))
    hit = [
        any(one.track == track and one.start < lost.end and one.end > lost.start for one in found)
        for track, lost in put
    ]
    assert len(put) >= 20
    assert np.mean(hit) >= 0.8
    listed = check.listening_list()
    true = [any(one.track == track and one.start < lost.end and one.end > lost.start for track, lost in put)
            for one in listed]  # fmt: skip
    assert sum(true) >= 0.9 * len(listed)


@pytest.fixture(scope="module")
def clean(music, tmp_path_factory):
    """What is found in those recordings over hiss with no fault put in."""
    tracks = np.stack([with_hiss(sound, -68.0, number) for number, sound in enumerate(music)])
    return drops(tmp_path_factory.mktemp("clean") / "clean.wav", tracks)[1]


def test_real_music_left_clean_is_a_pass(clean):
    assert [one.says for one in clean if one.weight != "note"] == []
    assert len(clean) <= 2


def test_what_may_be_a_dropout_costs_nobody_anything(clean):
    """A capture with no more than notes of dropouts is a pass."""
    assert verdict_of(clean) == "pass"


def test_a_beat_that_comes_round_is_no_dropout_on_a_dulled_tape_either(tmp_path):
    """Two micrometres of spacing take the treble that tells two bars apart: the rest in each is left."""
    path = Path("/usr/share/lmms/samples/beats/909beat01.ogg")
    if not path.exists():
        pytest.skip("recordings of real music are not installed (lmms-common)")
    beat, rate = soundfile.read(path, always_2d=True)
    sound = np.tile(beat.mean(axis=1), 14)
    lines = np.fft.rfft(sound) * 10 ** (-spacing_loss_db(np.fft.rfftfreq(len(sound), 1 / rate), 2.0) / 20)
    sound = np.fft.irfft(lines, len(sound))
    hiss = np.random.default_rng(1).standard_normal(len(sound)) * 10 ** (-64 / 20)
    soundfile.write(tmp_path / "beat.wav", np.clip(0.1 * sound / sound.std() + hiss, -1, 1), rate, "PCM_24")
    check = check_capture(ReelFacts("R", 1), StudioFacts(), [tmp_path / "beat.wav"])
    assert [one.says for one in check.findings if one.kind == "dropout"] == []
