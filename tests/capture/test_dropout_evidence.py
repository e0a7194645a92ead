"""What tells a dropout from what is played, hum under music, and where short overlaps meet.

A dropout weakens everything by one factor (the loss of contact between tape and head); a rest leaves the
noise of the channel, which has a colour and a level of its own.
"""

import numpy as np
import pytest
import soundfile

from core.capture.check import check_capture
from core.capture.faults.falls import offset_of
from core.capture.faults.gaps.beneath import left_over_db
from core.capture.measures.likeness import equal_fall
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 24000


def test_noise_that_is_weakened_falls_evenly_and_a_rest_over_other_noise_does_not(rng):
    bright = np.diff(rng.standard_normal(RATE + 1))
    dark = np.cumsum(rng.standard_normal(480)) * 0.05
    before, inside, after = bright[:2880], bright[3000:3480], bright[4000:6880]
    assert equal_fall(before, 0.1 * inside, after, RATE)
    assert not equal_fall(before, 0.1 * (dark - dark.mean()), after, RATE)


def test_rounding_to_16_bits_does_not_hide_the_sound_beneath_a_deep_dropout(rng):
    at = np.arange(RATE // 2) / RATE
    gain = np.where((at > 0.2) & (at < 0.24), 10 ** (-60 / 20), 1.0)
    sound = 0.2 * sum(np.sin(2 * np.pi * 220 * k * at + k) / k for k in (1, 2, 3))
    sound = (sound + 3e-4 * rng.standard_normal(len(at))) * gain
    step = 2.0**-15
    rounded = np.round(sound / step) * step
    start, stop = int(0.2 * RATE), int(0.24 * RATE)
    left, beside = left_over_db(rounded, start, stop, RATE, step**2 / 12)
    assert left - beside < 6
    without, _ = left_over_db(rounded, start, stop, RATE)
    assert without - beside > 6


def test_an_offset_is_told_by_the_quiet_stretches(rng):
    window = 128
    sound = 1e-4 * rng.standard_normal(512 * window) + 0.01
    sound[: 100 * window] += 0.2 * np.abs(rng.standard_normal(100 * window))
    blocks = sound.reshape(1, 512, window)
    offset = offset_of(np.sum(blocks**2, axis=2), blocks.sum(axis=2), window)
    assert offset[0, 0] == pytest.approx(0.01, abs=1e-4)


def test_a_shelf_can_ask_for_deeper_and_shorter_dropouts(wav, rng):
    at = np.arange(6 * 48000) / 48000
    sound = 0.2 * sum(np.sin(2 * np.pi * 220 * k * at) / k for k in (1, 2, 3)) + 1e-3 * rng.standard_normal(
        len(at)
    )
    for start, seconds, decibels in ((1.5, 0.02, 18), (3.0, 0.02, 40), (4.5, 0.2, 40)):
        sound[int(start * 48000) : int((start + seconds) * 48000)] *= 10 ** (-decibels / 20)
    path = wav("d.wav", sound)

    def starts(**thresholds):
        found = check_capture(ReelFacts("R-001"), StudioFacts(), [path], thresholds=thresholds).findings
        return [round(one.start, 1) for one in found if one.kind == "dropout"]

    assert starts() == [1.5, 3.0, 4.5]
    assert starts(dropout_fall=25.0) == [3.0, 4.5]
    assert starts(dropout_fall=25.0, dropout_longest=0.1) == [3.0]


def hums(path):
    found = check_capture(ReelFacts("R-001"), StudioFacts(), [path]).findings
    return [one for one in found if one.kind == "hum"]


def test_hum_is_heard_where_loud_notes_leave_room_and_loud_notes_are_no_hum(wav, rng):
    at = np.arange(30 * 48000) / 48000
    lively = np.repeat(np.arange(15) % 5 < 3, 2 * 48000)
    notes = 0.1 * lively * sum(np.sin(2 * np.pi * hertz * at) for hertz in (98.6, 147.9, 198.4))
    hum = 10 ** (-55 / 20) * sum(np.sin(2 * np.pi * 50 * k * at) / k for k in (1, 2, 3))
    hiss = 1e-4 * rng.standard_normal(len(at))
    assert len(hums(wav("h.wav", notes + hum + hiss))) == 1
    assert hums(wav("n.wav", notes + 0.05 * hum + hiss)) == []


def test_an_overlap_of_less_than_a_second_and_a_half_is_found(tmp_path, rng):
    sound = 0.1 * rng.standard_normal(20 * 48000)
    paths = [tmp_path / "1.wav", tmp_path / "2.wav"]
    cut, overlap = 12 * 48000, int(0.7 * 48000)
    for path, piece in zip(paths, (sound[:cut], sound[cut - overlap :]), strict=True):
        soundfile.write(path, piece + 1e-4 * rng.standard_normal(len(piece)), 48000, subtype="PCM_24")
    found = check_capture(ReelFacts("R-001", 1), StudioFacts(), paths).findings
    (join,) = [one for one in found if one.kind == "join"]
    assert join.end - join.start == pytest.approx(0.7, abs=0.001) and join.weight == "note"
