"""Whose speed is right: what the owner names stands over code and check, in places and in copies."""

from __future__ import annotations

import numpy as np
import pytest
import soundfile

from core.songs.written.clock_speed import clock_speed


def curve_of(run, part):
    parts = run("parts", "S-1", "--json").json["parts"]
    (x, y), *_, (u, v) = next(one for one in parts if one["part"] == part)["place"]["curve"]
    return (v - y) / (u - x)


@pytest.mark.parametrize(
    ("words", "ratio"),
    [("437.2 Hz is 440 Hz", 437.2 / 440), ("437,2hz = 440hz", 437.2 / 440), ("+0.5 %", 1.005),
     ("-1.25 %", 0.9875), ("as played", 1.0), ("", 1.0)],
)  # fmt: skip
def test_a_speed_is_named_by_pitch_or_share(words, ratio):
    assert clock_speed(words).ratio == pytest.approx(ratio, abs=1e-12)


def test_what_the_owner_names_is_the_songs_pace_and_one_undo_takes_it_back(run, shelf):
    assert curve_of(run, "bass") == pytest.approx(1.0, abs=1e-5)
    assert run("set", "S-1", "clock_speed=437.2 Hz is 440 Hz").status == 0
    assert curve_of(run, "bass") == pytest.approx(437.2 / 440, abs=1e-5)
    assert curve_of(run, "voice") == pytest.approx(1.004 * 437.2 / 440, abs=2e-4)
    assert run("undo").status == 0
    assert curve_of(run, "bass") == pytest.approx(1.0, abs=1e-5)


@pytest.mark.parametrize("words", ["440", "fast", "0 Hz is 440 Hz", "100 Hz is 440 Hz", "440 Hz is 0 Hz"])
def test_what_names_no_speed_is_refused_in_a_line(run, shelf, words):
    refused = run("set", "S-1", f"clock_speed={words}")
    assert refused.status in (1, 2) and refused.err.count("\n") == 1
    assert "437.2 Hz is 440 Hz" in refused.err


def test_code_that_is_not_there_is_told(run, shelf):
    assert run("set", "S-2", "clock_speed=code").status == 0
    opened = run("parts", "S-2", "--json").json["open"]
    assert any("that of code, and R-4 carries none" in line for line in opened)


def test_a_tone_laid_on_the_songs_clock_has_the_pitch_that_was_named(run, shelf, tmp_path):
    rate, seconds = 8_000, 20
    at = np.arange(rate * seconds) / rate
    tape = 0.3 * np.sin(2 * np.pi * 437.2 * at) * (1 + 0.3 * np.sin(2 * np.pi * 0.7 * at))
    soundfile.write(tmp_path / "tuned.wav", np.stack([tape, 0.5 * tape], 1), rate, "PCM_24")
    assert run("check", "R-4", tmp_path / "tuned.wav").status in (0, 1)
    assert run("set", "S-2", "clock_speed=437.2 Hz is 440 Hz").status == 0
    done = run("lay", "S-2", "--out", "tuned", "--way", "clock")
    assert done.status == 0, done.err
    (path,) = (tmp_path / "tuned").glob("*.wav")
    laid = soundfile.read(path)[0]
    middle = laid[rate : rate + 16 * rate] * np.hanning(16 * rate)
    bins = np.abs(np.fft.rfft(middle, 64 * len(middle)))
    assert np.argmax(bins) * rate / (64 * len(middle)) == pytest.approx(440.0, abs=0.01)
