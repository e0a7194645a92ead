"""Hiss between songs: its level and colour as they were put in, and a track that hisses otherwise."""

import numpy as np
import pytest
import soundfile
from scipy.signal import butter, sosfilt

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE, SECONDS = 48000, 40
AT = np.arange(SECONDS * RATE) / RATE


def noise(number: int, dbfs: float) -> np.ndarray:
    return 10 ** (dbfs / 20) * np.random.default_rng((number, 1)).standard_normal(AT.size)


def music(number: int) -> np.ndarray:
    """A new level four times a second, with 10 s of rest."""
    dice = np.random.default_rng(number)
    levels = 10 ** (dice.uniform(-30, 0, SECONDS * 4 + 1) / 20)
    return noise(number + 50, -20.0) * levels[(AT * 4).astype(int)] * (np.abs(AT - 20) > 5)


def checked(path, tracks):
    soundfile.write(path, np.clip(np.stack(tracks, axis=1), -1, 1), RATE, "PCM_24")
    return check_capture(ReelFacts("R", len(tracks), speed_ips=15.0), StudioFacts(), [path])


def hisses(check):
    return [(one.track, one.weight) for one in check.findings if one.kind == "hiss"]


def test_white_hiss_has_the_level_of_its_share_of_the_spectrum_and_no_tilt(tmp_path):
    """White noise of -60 dBFS over 24 kHz: 1.44 to 16 kHz of it are 10 log10(14.56 / 24) dB less."""
    check = checked(tmp_path / "a.wav", [music(n) + noise(n, -60.0) for n in range(5)])
    for one in check.channels:
        assert one.hiss_dbfs == pytest.approx(-60 + 10 * np.log10(14.56 / 24), abs=0.6)
        assert one.hiss_tilt_db == pytest.approx(0, abs=0.6)
    assert hisses(check) == []


def test_a_track_that_hisses_more_and_one_with_less_treble_are_notes(tmp_path):
    levels = (-66, -66, -54, -66, -66, -66, -66, -66)
    tracks = [music(n) + noise(n, dbfs) for n, dbfs in enumerate(levels)]
    tracks[5] = music(5) + sosfilt(butter(2, 4000, fs=RATE, output="sos"), noise(5, -64.0))
    check = checked(tmp_path / "a.wav", tracks)
    assert hisses(check) == [(3, "note"), (6, "note")]
    says = [one.says for one in check.findings if one.kind == "hiss"]
    assert says[0].startswith("Track 3 hisses 12 dB more than the others")
    assert "less treble than the others" in says[1]


@pytest.mark.parametrize("count", [3, 4])
def test_three_tracks_and_half_of_them_apart_tell_nothing(tmp_path, count):
    tracks = [music(n) + noise(n, -54.0 if n > 1 else -66.0) for n in range(count)]
    assert hisses(checked(tmp_path / "a.wav", tracks)) == []


def test_tracks_that_never_rest_have_no_hiss(tmp_path):
    dice = np.random.default_rng(4)
    levels = 10 ** (dice.uniform(-40, 0, (4, AT.size // 4800 + 1)) / 20)
    lively = [noise(n, -20.0) * levels[n][np.arange(AT.size) // 4800] for n in range(4)]
    check = checked(tmp_path / "a.wav", [*lively, 0 * AT])
    assert [one.hiss_dbfs for one in check.channels] == [None] * 5
